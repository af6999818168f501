#include "core/intake/preview.h"

#include <algorithm>

#include "core/base/number_text.h"
#include "core/files/excerpt.h"
#include "core/intake/take_in.h"

namespace aftercurve {

Result<TablePreview> previewTable(const InputTable& table, const TextDialect& dialect, std::size_t rows,
                                  std::size_t columns) {
    TablePreview preview;
    const auto done =
        table.visit(dialect,
                    [&](std::size_t row, std::span<const RawCell> cells) {
                        if (preview.rows.size() == rows) {
                            preview.more = true;
                            return Visit::stop;
                        }
                        preview.rows.push_back(row);
                        auto& texts = preview.cells.emplace_back();
                        for (const RawCell& cell : cells.first(std::min(cells.size(), columns))) {
                            texts.push_back(printable(cell.text));
                        }
                        preview.columns = std::max(preview.columns, texts.size());
                        return Visit::goOn;
                    },
                    {});
    if (!done) {
        return done.problem();
    }
    for (auto& texts : preview.cells) {
        texts.resize(preview.columns);
    }
    return preview;
}

DrawsPreview previewDraws(std::span<const InputTable> tables, const Mapping& mapping, std::size_t rows) {
    std::vector<InputTable> firsts{tables.begin(), tables.end()};
    for (InputTable& table : firsts) {
        // Rows of the header do not count, wherever it stands.
        std::size_t header = 0;
        for (const TableMapping& how : mapping.tables) {
            header = std::max(header, how.firstRow);
        }
        table.visit = [visit = table.visit, rows, header](
                          const TextDialect& dialect, const RowVisitor& visitor, const ShareDone& progress) {
            std::size_t seen = 0;
            return visit(
                dialect,
                [&](std::size_t row, std::span<const RawCell> cells) {
                    if (row >= header && seen++ == rows) {
                        return Visit::stop;
                    }
                    return visitor(row, cells);
                },
                progress);
        };
    }
    TakenIn taken = takeIn(firsts, mapping);
    DrawsPreview preview = taken.study
                               ? drawList(*taken.study, rows * std::max<std::size_t>(tables.size(), 1) * 32)
                               : DrawsPreview{};
    preview.problems = std::move(taken.problems);
    return preview;
}

DrawsPreview drawList(const Study& study, std::size_t most) {
    DrawsPreview list;
    list.headers = {"subject", "food", "visit", "time, min"};
    if (!study.nominalMin.empty()) {
        list.headers.emplace_back("nominal time, min");
    }
    if (!study.replicate.empty()) {
        list.headers.emplace_back("replicate");
    }
    for (const Analyte& analyte : study.analytes) {
        list.headers.push_back(analyte.id + ", " + analyte.unit);
    }
    for (std::size_t d = 0; d < std::min(most, study.draws.size()); ++d) {
        const Draw& draw = study.draws[d];
        auto& row = list.rows.emplace_back();
        row = {study.subjects[draw.subject].id, study.foods[draw.food].id, std::to_string(draw.visit),
               plainNumber(draw.timeMin)};
        if (!study.nominalMin.empty()) {
            row.push_back(study.nominalMin[d] ? plainNumber(*study.nominalMin[d]) : std::string{});
        }
        if (!study.replicate.empty()) {
            row.push_back(std::to_string(study.replicate[d]));
        }
        for (std::size_t a = 0; a < study.analytes.size(); ++a) {
            const auto& value = study.concentrations[a][d];
            const auto limit =
                belowLimitAt(study, static_cast<std::uint32_t>(d), static_cast<std::uint32_t>(a));
            row.push_back(value ? plainNumber(*value) : limit ? "<" + plainNumber(*limit) : std::string{});
        }
    }
    return list;
}

}  // namespace aftercurve
