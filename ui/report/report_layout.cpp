#include "ui/report/report_layout.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/publish/clean_text.h"
#include "core/report/table_places.h"
#include "ui/models/text.h"
#include "ui/report/page_flow.h"
#include "ui/report/place_table.h"

namespace aftercurve {

namespace {

constexpr double paragraphGap = 5.0 * unitsPerPoint;
constexpr double leastFigureShare = 0.35;  // of a page, for a figure whose caption is very long

/// Where a line of the contents waits for its page number.
struct ContentsLine {
    std::size_t page = 0;
    double top = 0.0;
    std::size_t target = 0;  ///< page of the section, from 1
};

class Setter {
  public:
    explicit Setter(const ReportDocument& document) : document_(document), places_(tablePlaces(document)) {}

    std::vector<ReportPage> pages();
    void operator()(const ReportParagraph& paragraph);
    void operator()(const ReportProblems& problems);
    void operator()(const ReportTable& table) { placeTable(flow_, table); }
    void operator()(const ReportFigure& figure);
    void operator()(const ReportFacts& facts);

  private:
    void setCaution(const ReportSection& section);
    void setContents();
    void setFeet();

    const ReportDocument& document_;
    std::map<std::string, TablePlace> places_;
    PageFlow flow_;
    std::vector<ContentsLine> contents_;
};

void Setter::operator()(const ReportParagraph& paragraph) {
    std::vector<TextRun> runs;
    for (const Sentence& sentence : paragraph.sentences) {
        runs.push_back({(runs.empty() ? QString() : QStringLiteral(" ")) + shown(cleanText(sentence.text)),
                        TextLook::body});
        QString links;
        for (const SentenceLink& link : linksOf(sentence, places_)) {
            links += (links.isEmpty() ? QString() : QStringLiteral("; ")) + shown(link.text);
        }
        if (!links.isEmpty()) {
            runs.push_back({QStringLiteral(" [%1]").arg(links), TextLook::source});
        }
    }
    flow_.paragraph(runs);
    flow_.skip(paragraphGap);
}

void Setter::operator()(const ReportProblems& problems) {
    for (const Problem& problem : problems.problems) {
        const TextLook look = !problem.acceptedBecause.empty()        ? TextLook::body
                              : problem.severity == Severity::error   ? TextLook::error
                              : problem.severity == Severity::warning ? TextLook::warning
                                                                      : TextLook::body;
        const std::string place = placeOf(problem);
        std::string text = ": " + (place.empty() ? place : place + ": ") + problem.what;
        text += problem.remedy.empty() ? "" : "; " + problem.remedy;
        text += acceptedText(problem);
        const std::array runs{TextRun{shown(nameOf(problem.severity)), look},
                              TextRun{shown(cleanText(text)), TextLook::body}};
        flow_.paragraph(runs);
        flow_.skip(paragraphGap / 3.0);
    }
    if (!problems.note.empty()) {
        flow_.paragraph(shown(problems.note), TextLook::note);
    }
    flow_.skip(paragraphGap);
}

void Setter::operator()(const ReportFigure& figure) {
    constexpr double unitsPerMm = 72.0 / 25.4 * unitsPerPoint;
    const double page = textBottom - topMargin;
    QString name = QStringLiteral("Figure %1.").arg(figure.number);
    if (!figure.title.empty()) {
        name += u' ' + shown(cleanText(figure.title));
        name += figure.title.ends_with('.') ? QString() : QStringLiteral(".");
    }
    std::vector<TextRun> caption{{name, TextLook::name}};
    if (!figure.caption.empty()) {
        caption.push_back({u' ' + shown(cleanText(figure.caption)), TextLook::note});
    }
    Letters& letters = flow_.letters();
    const double lines = std::ceil(
        (letters.width(name, TextLook::name) + letters.width(shown(figure.caption), TextLook::note)) /
        textWidth * 1.1);
    const double below = (lines + 1.0) * letters.lineHeight(TextLook::name) + 2.0 * paragraphGap;
    const double width = std::max(1.0, figure.widthMm * unitsPerMm);
    const double height = std::max(1.0, figure.heightMm * unitsPerMm);
    const double tallest = std::max(page * leastFigureShare, page - below);
    const double scale = std::min({1.0, textWidth / width, tallest / height});
    flow_.need(std::min(page, height * scale + below));
    flow_.page().figures.push_back(
        {QRectF(sideMargin, flow_.y(), width * scale, height * scale), figure.spec});
    flow_.skip(height * scale + paragraphGap / 2.0);
    flow_.paragraph(caption);
    flow_.skip(3.0 * paragraphGap);
}

void Setter::operator()(const ReportFacts& facts) {
    for (const ReportFact& fact : facts.facts) {
        flow_.need(3.0 * flow_.letters().lineHeight(TextLook::name));
        flow_.paragraph(shown(cleanText(fact.label)), TextLook::name);
        flow_.paragraph(shown(cleanText(fact.value)), fact.code ? TextLook::code : TextLook::body,
                        sideMargin + 2.0 * paragraphGap);
        flow_.skip(paragraphGap / 2.0);
    }
    flow_.skip(paragraphGap);
}

void Setter::setCaution(const ReportSection& section) {
    constexpr double inset = 8.0 * unitsPerPoint;
    const double top = flow_.y();
    flow_.skip(inset / 2.0);
    flow_.paragraph(shown(section.heading), TextLook::name, sideMargin + inset);
    for (const ReportBlock& block : section.blocks) {
        if (const auto* paragraph = std::get_if<ReportParagraph>(&block)) {
            for (const Sentence& sentence : paragraph->sentences) {
                flow_.paragraph(shown(cleanText(sentence.text)), TextLook::body, sideMargin + inset);
            }
        }
    }
    flow_.skip(inset / 2.0);
    flow_.page().grounds.emplace_back(sideMargin, top, textWidth, flow_.y() - top);
    flow_.skip(2.0 * paragraphGap);
}

void Setter::setContents() {
    flow_.paragraph(QStringLiteral("Contents"), TextLook::heading);
    flow_.skip(paragraphGap / 2.0);
    for (std::size_t i = 1; i < document_.sections.size(); ++i) {
        flow_.need(flow_.letters().lineHeight(TextLook::body));
        contents_.push_back({flow_.pageNumber() - 1, flow_.y(), 0});
        flow_.paragraph(shown(document_.sections[i].heading), TextLook::body);
    }
    flow_.skip(2.0 * paragraphGap);
}

void Setter::setFeet() {
    Letters& letters = flow_.letters();
    const double top = textBottom + 18.0 * unitsPerPoint;
    std::vector<ReportPage>& pages = flow_.pages();
    const auto place = [&letters](ReportPage& page, const QString& text, TextLook look, double right,
                                  double lineTop) {
        const double width = letters.width(text, look);
        page.texts.push_back({text, look, QPointF(right - width, lineTop + letters.ascent(look)), width});
    };
    const double right = pageWidth - sideMargin;
    QString title = shown(cleanText(document_.title));
    if (!document_.date.empty()) {
        title += QStringLiteral(", ") + shown(document_.date);
    }
    title = letters.elided(title, TextLook::footer, textWidth * 0.8);
    for (std::size_t p = 0; p < pages.size(); ++p) {
        pages[p].rules.emplace_back(sideMargin, top - paragraphGap, right, top - paragraphGap);
        pages[p].texts.push_back({title, TextLook::footer,
                                  QPointF(sideMargin, top + letters.ascent(TextLook::footer)),
                                  letters.width(title, TextLook::footer)});
        place(pages[p], QStringLiteral("page %1 of %2").arg(p + 1).arg(pages.size()), TextLook::footer, right,
              top);
    }
    for (const ContentsLine& line : contents_) {
        place(pages[line.page], QString::number(line.target), TextLook::body, right, line.top);
    }
}

std::vector<ReportPage> Setter::pages() {
    flow_.paragraph(shown(cleanText(document_.title)), TextLook::title);
    flow_.skip(2.0 * paragraphGap);
    if (!document_.sections.empty()) {
        setCaution(document_.sections.front());
    }
    setContents();
    for (std::size_t i = 1; i < document_.sections.size(); ++i) {
        const ReportSection& section = document_.sections[i];
        flow_.need(90.0 * unitsPerPoint);
        if (flow_.y() > topMargin) {
            flow_.skip(2.0 * paragraphGap);
        }
        contents_[i - 1].target = flow_.pageNumber();
        flow_.paragraph(shown(section.heading), TextLook::heading);
        flow_.skip(paragraphGap);
        for (const ReportBlock& block : section.blocks) {
            std::visit(*this, block);
        }
    }
    setFeet();
    return flow_.take();
}

}  // namespace

std::vector<ReportPage> layOut(const ReportDocument& document) {
    return Setter(document).pages();
}

}  // namespace aftercurve
