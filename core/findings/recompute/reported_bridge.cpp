// Digestion in vitro beside the response, by the keys of the two quantities.
#include <array>
#include <string_view>

#include "core/findings/recompute/parts.h"
#include "core/findings/tables/builders.h"

namespace aftercurve {

namespace {

constexpr std::array<std::string_view, 2> words{"rho_method", "lambda_from"};

}  // namespace

void addBridge(ReportedRows& rows, const StudyNumbers& /*numbers*/, const Findings& findings) {
    const Study nameless;
    const Table table = bridgeTable(nameless, findings);
    for (std::size_t i = 0; i < table.rows.size(); ++i) {
        ReportedPlace place;
        place.measure = findings.bridge.pairs[i].y.key;
        place.item = findings.bridge.pairs[i].x.key;
        addTableRow(rows, place, table, table.rows[i], words);
    }
}

}  // namespace aftercurve
