#include "core/findings/agreement_findings.h"

#include "core/findings/findings.h"

namespace aftercurve {

std::vector<AgreementFinding> agreementFindings(std::span<const ComparisonFinding> comparisons,
                                                double alpha) {
    std::vector<AgreementFinding> findings;
    for (const ComparisonFinding& comparison : comparisons) {
        AgreementFinding finding;
        finding.analyte = comparison.analyte;
        finding.measure = comparison.measure;
        finding.unit = comparison.unit;
        finding.food = comparison.food;
        finding.comparator = comparison.comparator;
        for (const PairFinding& pair : comparison.pairs) {
            // Halved before they are added, so that the largest doubles do not overflow.
            finding.points.push_back(
                {pair.subject, 0.5 * pair.food + 0.5 * pair.comparator, pair.difference});
        }
        finding.limits = agreementOf(comparison.t, alpha);
        findings.push_back(std::move(finding));
    }
    return findings;
}

}  // namespace aftercurve
