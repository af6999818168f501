#include "ui/figures/flow_boxes.h"

#include <algorithm>
#include <map>
#include <utility>

#include "core/findings/rounded_words.h"

namespace aftercurve {

namespace {

constexpr std::size_t mostColumns = 8;
constexpr double smallestScale = 0.625;
constexpr double scaleStep = 0.0625;
constexpr double rowGap = 0.7;        ///< between the rows, in lines
constexpr double lastScale = 0.0625;  ///< the font is a mark on paper then; the table has the numbers

/// What stands in one box before it is wrapped: a paragraph a line.
struct Content {
    std::string name;
    std::vector<std::string> paragraphs;
};

struct FlowColumn {
    std::string head;  ///< empty: no box over the column
    std::string name;
    std::map<std::string, Content> cells;  ///< by row
};

/// Rows in their order, and the columns that have cells in them.
struct Grid {
    std::vector<std::string> rows;
    std::vector<FlowColumn> columns;
};

std::string plain(std::string text) {
    std::replace_if(
        text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20; }, ' ');
    return text;
}

bool startsCharacter(char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
}

/// Breaks at spaces, and inside a word that is wider than the box.
void wrapInto(std::vector<std::string>& lines, const std::string& text, double width, double scale,
              const FlowFont& font) {
    std::string line;
    const auto close = [&] {
        if (!line.empty()) {
            lines.push_back(std::exchange(line, {}));
        }
    };
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t space = std::min(text.find(' ', at), text.size());
        const std::string word = text.substr(at, space - at);
        at = space + 1;
        if (word.empty()) {
            continue;
        }
        if (font.width(line.empty() ? word : line + " " + word, scale) <= width) {
            line += (line.empty() ? "" : " ") + word;
            continue;
        }
        close();
        for (const char c : word) {
            if (startsCharacter(c) && !line.empty() && font.width(line + c, scale) > width) {
                close();
            }
            line += c;
        }
    }
    close();
}

std::string countsOf(const FlowStage& stage) {
    return std::to_string(stage.came) + " came, " + std::to_string(stage.analysed) + " analysed";
}

void addStage(Content& content, const Study& study, const FlowStage& stage, bool reasons) {
    content.paragraphs.push_back(plain(labelOf(study, stage.food)) + ": " + countsOf(stage));
    if (stage.absent > 0) {
        content.paragraphs.push_back("Did not come: " + std::to_string(stage.absent));
    }
    std::size_t visits = 0;
    for (const FlowLoss& loss : stage.losses) {
        visits += loss.visits;
        if (reasons) {
            content.paragraphs.push_back(countedWords(loss.visits, "visit") +
                                         " not analysed: " + plain(loss.reason));
        }
    }
    if (!reasons && visits > 0) {
        content.paragraphs.push_back(countedWords(visits, "visit") + " not analysed");
    }
}

/// The same stages without their sequences: counts of one period and food add up, since a subject has one
/// sequence.
std::vector<FlowStage> together(const std::vector<FlowStage>& stages) {
    std::vector<FlowStage> all;
    for (const FlowStage& stage : stages) {
        auto at = std::find_if(all.begin(), all.end(), [&stage](const FlowStage& other) {
            return other.period == stage.period && other.food == stage.food;
        });
        if (at == all.end()) {
            at = all.insert(all.end(), FlowStage{"", stage.period, stage.food, 0, 0, {}});
        }
        at->came += stage.came;
        at->analysed += stage.analysed;
        at->absent += stage.absent;
        for (const FlowLoss& loss : stage.losses) {
            const auto same = std::find_if(at->losses.begin(), at->losses.end(),
                                           [&loss](const FlowLoss& l) { return l.reason == loss.reason; });
            if (same == at->losses.end()) {
                at->losses.push_back(loss);
            } else {
                same->subjects += loss.subjects;
                same->visits += loss.visits;
            }
        }
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const FlowStage& a, const FlowStage& b) { return a.period < b.period; });
    return all;
}

/// Of stages ordered by sequence: how many sequences, those without one as one.
std::size_t sequencesOf(const std::vector<FlowStage>& stages) {
    std::size_t count = 0;
    for (std::size_t i = 0; i < stages.size(); ++i) {
        count += i == 0 || stages[i].sequence != stages[i - 1].sequence ? 1U : 0U;
    }
    return count;
}

Grid gridOf(const Study& study, const StudyFlow& flow, bool grouped, bool reasons) {
    const std::vector<FlowStage> stages = grouped ? together(flow.stages) : flow.stages;
    const std::size_t sequences = sequencesOf(flow.stages);
    Grid grid;
    std::vector<std::pair<int, std::string>> order;
    for (const FlowStage& stage : stages) {
        if (grid.columns.empty() || grid.columns.back().name != "sequence:" + stage.sequence) {
            FlowColumn column;
            column.name = "sequence:" + stage.sequence;
            if (grouped && sequences > 1) {
                column.head = std::to_string(sequences) + " sequences together";
            } else if (!stage.sequence.empty()) {
                column.head =
                    "Sequence " + plain(stage.sequence) + " (n = " + std::to_string(stage.subjects) + ")";
            } else if (sequences > 1) {
                column.head = "No sequence on record (n = " + std::to_string(stage.subjects) + ")";
            }
            grid.columns.push_back(std::move(column));
        }
        const std::string row =
            std::to_string(stage.period) + (stage.period > 0 ? std::string{} : ":" + stage.food);
        Content& content = grid.columns.back().cells[row];
        if (content.paragraphs.empty()) {
            content.name = "stage:" + stage.sequence + ":" + row;
            if (stage.period > 0) {
                content.paragraphs.push_back("Period " + std::to_string(stage.period));
            }
        }
        addStage(content, study, stage, reasons);
        if (std::find(grid.rows.begin(), grid.rows.end(), row) == grid.rows.end()) {
            grid.rows.push_back(row);
            order.emplace_back(stage.period, row);
        }
    }
    std::stable_sort(order.begin(), order.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    for (std::size_t i = 0; i < order.size(); ++i) {
        grid.rows[i] = order[i].second;
    }
    return grid;
}

Content topOf(const StudyFlow& flow) {
    Content top{"on record", {"On record: " + countedWords(flow.subjects, "subject")}};
    if (flow.without > 0) {
        top.paragraphs.push_back("Without any visit: " + std::to_string(flow.without));
    }
    top.paragraphs.emplace_back(
        "Assessed for eligibility, not eligible, declined: not recorded in the study "
        "files");
    return top;
}

Content bottomOf(const StudyFlow& flow) {
    return {"analysed",
            {"Analysed with at least one food: " + std::to_string(flow.analysed),
             "Analysed with every food that has a visit: " + std::to_string(flow.complete)}};
}

/// Puts the boxes of a grid down at one scale of the font.
class Placing {
  public:
    Placing(const FlowFont& font, double width, double scale)
        : font_(font), width_(width), scale_(scale), line_(font.lineHeight(scale)) {}

    /// The height that it took.
    double place(const Grid& grid, const Content& top, const Content& bottom, FlowBoxes& out) {
        const double gap = 0.5 * line_;
        const auto columns = static_cast<double>(std::max<std::size_t>(1, grid.columns.size()));
        const double step = width_ / columns;
        const double wide = std::min(columns > 1.0 ? step - gap : 0.7 * width_, 0.7 * width_);
        const double whole = 0.7 * width_;
        FlowBox first = box(top, 0.5 * (width_ - whole), 0.0, whole);
        first.strong = true;
        double y = first.bottom();
        out.boxes.push_back(first);
        const double bus = y + line_;
        y += 2.0 * line_;
        std::vector<double> middle;
        std::vector<double> ends(grid.columns.size(), bus);
        for (std::size_t c = 0; c < grid.columns.size(); ++c) {
            middle.push_back((static_cast<double>(c) + 0.5) * step);
        }
        y = headers(grid, middle, wide, y, ends, out);
        for (const std::string& row : grid.rows) {
            double lowest = y;
            for (std::size_t c = 0; c < grid.columns.size(); ++c) {
                const auto cell = grid.columns[c].cells.find(row);
                if (cell != grid.columns[c].cells.end()) {
                    const FlowBox one = box(cell->second, middle[c] - 0.5 * wide, y, wide);
                    out.lines.push_back({middle[c], ends[c], middle[c], y, true});
                    ends[c] = one.bottom();
                    lowest = std::max(lowest, one.bottom());
                    out.boxes.push_back(one);
                }
            }
            y = lowest + rowGap * line_;
        }
        const double lower = y;
        FlowBox last = box(bottom, 0.5 * (width_ - whole), y + line_, whole);
        last.strong = true;
        join(first, last, middle, ends, bus, lower, out);
        out.boxes.push_back(last);
        return last.bottom();
    }

  private:
    FlowBox box(const Content& content, double x, double y, double width) const {
        const double inner = 0.35 * line_;
        FlowBox one;
        one.name = content.name;
        one.x = x;
        one.y = y;
        one.width = width;
        for (const std::string& paragraph : content.paragraphs) {
            wrapInto(one.lines, paragraph, width - 2.0 * inner, scale_, font_);
        }
        one.height = static_cast<double>(one.lines.size()) * line_ + 2.0 * inner;
        return one;
    }

    double headers(const Grid& grid, const std::vector<double>& middle, double wide, double y,
                   std::vector<double>& ends, FlowBoxes& out) const {
        double lowest = y;
        bool any = false;
        for (std::size_t c = 0; c < grid.columns.size(); ++c) {
            if (grid.columns[c].head.empty()) {
                continue;
            }
            FlowBox head =
                box({grid.columns[c].name, {grid.columns[c].head}}, middle[c] - 0.5 * wide, y, wide);
            head.strong = true;
            out.lines.push_back({middle[c], ends[c], middle[c], y, true});
            ends[c] = head.bottom();
            lowest = std::max(lowest, head.bottom());
            out.boxes.push_back(std::move(head));
            any = true;
        }
        return any ? lowest + line_ : y;
    }

    /// From the top box to the columns, and from them to the bottom one.
    static void join(const FlowBox& first, const FlowBox& last, const std::vector<double>& middle,
                     const std::vector<double>& ends, double bus, double lower, FlowBoxes& out) {
        const double centre = first.x + 0.5 * first.width;
        if (middle.empty()) {
            out.lines.push_back({centre, first.bottom(), centre, last.y, true});
            return;
        }
        out.lines.push_back({centre, first.bottom(), centre, bus, false});
        if (middle.size() > 1) {
            out.lines.push_back({middle.front(), bus, middle.back(), bus, false});
            out.lines.push_back({middle.front(), lower, middle.back(), lower, false});
        }
        for (std::size_t c = 0; c < middle.size(); ++c) {
            out.lines.push_back({middle[c], ends[c], middle[c], lower, false});
        }
        out.lines.push_back({centre, lower, centre, last.y, true});
    }

    const FlowFont& font_;
    double width_;
    double scale_;
    double line_;
};

/// Whether the boxes fit at some scale from 1 down to `least`; then they are in `out`.
bool fits(const Grid& grid, const StudyFlow& flow, double width, double height, const FlowFont& font,
          double least, FlowBoxes& out) {
    for (double scale = 1.0; scale >= least; scale -= scaleStep) {
        out.boxes.clear();
        out.lines.clear();
        out.scale = scale;
        if (Placing{font, width, scale}.place(grid, topOf(flow), bottomOf(flow), out) <= height) {
            return true;
        }
    }
    return false;
}

}  // namespace

FlowBoxes flowBoxes(const Study& study, const StudyFlow& flow, double width, double height,
                    const FlowFont& font) {
    FlowBoxes out;
    const bool many = sequencesOf(flow.stages) > mostColumns;
    for (const auto& [grouped, reasons] :
         {std::pair{false, true}, std::pair{false, false}, std::pair{true, true}, std::pair{true, false}}) {
        if (many && !grouped) {
            continue;
        }
        out.grouped = grouped;
        out.reasonsCounted = !reasons;
        if (fits(gridOf(study, flow, grouped, reasons), flow, width, height, font, smallestScale, out)) {
            return out;
        }
    }
    out.grouped = true;
    out.reasonsCounted = true;
    fits(gridOf(study, flow, true, false), flow, width, height, font, lastScale, out);
    return out;
}

}  // namespace aftercurve
