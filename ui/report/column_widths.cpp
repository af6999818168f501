#include "ui/report/column_widths.h"

#include <algorithm>
#include <numeric>

namespace aftercurve {

namespace {

/// The columns that name a row take no more than this share of the width where a table is cut.
constexpr double mostOfLead = 0.45;

double sumOf(std::span<const ColumnNeed> needs, double ColumnNeed::*member) {
    return std::accumulate(needs.begin(), needs.end(), 0.0,
                           [member](double sum, const ColumnNeed& need) { return sum + need.*member; });
}

}  // namespace

std::vector<double> columnWidths(std::span<const ColumnNeed> needs, double width) {
    const double least = sumOf(needs, &ColumnNeed::least);
    const double wanted = sumOf(needs, &ColumnNeed::wanted);
    if (least > width) {
        return {};
    }
    const double share = wanted <= width ? 1.0 : (width - least) / (wanted - least);
    std::vector<double> widths;
    widths.reserve(needs.size());
    for (const ColumnNeed& need : needs) {
        widths.push_back(need.least + share * (need.wanted - need.least));
    }
    return widths;
}

std::vector<TablePart> tableParts(std::span<const ColumnNeed> needs, std::size_t lead, double width) {
    std::vector<TablePart> parts;
    if (needs.empty()) {
        return parts;
    }
    if (std::vector<double> widths = columnWidths(needs, width); !widths.empty()) {
        TablePart all;
        all.columns.resize(needs.size());
        std::iota(all.columns.begin(), all.columns.end(), std::size_t{0});
        all.widths = std::move(widths);
        return {all};
    }
    std::vector<ColumnNeed> given(needs.begin(), needs.end());
    lead = std::min(lead, needs.size() - 1);
    while (lead > 1 && sumOf({given.data(), lead}, &ColumnNeed::least) > mostOfLead * width) {
        --lead;
    }
    double leadLeast = 0.0;
    for (std::size_t c = 0; c < lead; ++c) {
        given[c].least = std::min(given[c].least, mostOfLead * width);
        given[c].wanted = std::clamp(given[c].wanted, given[c].least, mostOfLead * width);
        leadLeast += given[c].least;
    }
    for (std::size_t c = lead; c < given.size(); ++c) {
        given[c].least = std::min(given[c].least, width - leadLeast);
        given[c].wanted = std::max(given[c].wanted, given[c].least);
    }
    for (std::size_t next = lead; next < given.size();) {
        TablePart part;
        std::vector<ColumnNeed> asked;
        double least = leadLeast;
        for (std::size_t c = 0; c < lead; ++c) {
            part.columns.push_back(c);
            asked.push_back(given[c]);
        }
        do {
            least += given[next].least;
            part.columns.push_back(next);
            asked.push_back(given[next]);
            ++next;
        } while (next < given.size() && least + given[next].least <= width);
        // Rounding may lift the sum of the least a hair above the width.
        part.widths = columnWidths(asked, std::max(width, sumOf(asked, &ColumnNeed::least)));
        parts.push_back(std::move(part));
    }
    return parts;
}

}  // namespace aftercurve
