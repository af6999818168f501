#include "core/findings/report_html.h"

#include <set>
#include <string_view>

#include "core/base/caution.h"
#include "core/base/version.h"
#include "core/findings/conformity_findings.h"
#include "core/findings/evidence_findings.h"
#include "core/findings/index_sentences.h"
#include "core/findings/narrative.h"
#include "core/findings/table.h"
#include "core/findings/tolerance_words.h"

namespace aftercurve {

namespace {

constexpr std::string_view style = R"(
:root { color-scheme: light; }
body { font: 15px/1.5 "DejaVu Sans", "Liberation Sans", sans-serif; color: #1d2a2e; max-width: 62em; margin: 2em auto; padding: 0 1.2em; }
h1 { font-size: 1.6em; line-height: 1.25; margin-bottom: .2em; } h2 { font-size: 1.15em; margin-top: 2.2em; border-bottom: 1px solid #c9d2d0; }
.caution { border-left: 4px solid #b5651d; padding: .4em .9em; background: #faf4ea; }
.scroll { overflow-x: auto; } table { border-collapse: collapse; font-size: .82em; } caption { text-align: left; font-weight: bold; padding: .6em 0 .3em; }
th, td { padding: .18em .7em; text-align: left; vertical-align: top; } thead th { border-top: 1.5px solid #1d2a2e; border-bottom: 1px solid #1d2a2e; }
tbody tr:last-child td { border-bottom: 1.5px solid #1d2a2e; } .n { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
tr.muted { color: #6d7a7a; } figure { margin: 1.4em 0; } figure svg { max-width: 100%; height: auto; } figcaption { font-size: .85em; color: #44555a; }
.error { color: #9b1c1c; font-weight: bold; } .note { color: #6d7a7a; } footer { margin: 3em 0 1em; font-size: .82em; color: #44555a; }
@media print { body { max-width: none; margin: 0; } .scroll { overflow: visible; } h2, figure { break-inside: avoid; } }
)";

bool isNumeric(const Column& column) {
    return column.kind != ColumnKind::text;
}

std::string paragraph(const std::string& text) {
    return "<p>" + htmlEscaped(text) + "</p>\n";
}

std::string tableHtml(const Table& table) {
    if (table.rows.empty()) {
        return "<p class=\"note\">" + htmlEscaped(table.emptyText) + "</p>\n";
    }
    std::string html =
        "<div class=\"scroll\"><table>\n<caption>" + htmlEscaped(table.title) + "</caption>\n<thead><tr>";
    for (const Column& column : table.columns) {
        html += std::string{"<th scope=\"col\""} + (isNumeric(column) ? " class=\"n\"" : "") +
                (column.explanation.empty() ? "" : " title=\"" + htmlEscaped(column.explanation) + "\"") +
                ">" + htmlEscaped(column.title) +
                (column.unit.empty() ? "" : " (" + htmlEscaped(column.unit) + ")") + "</th>";
    }
    html += "</tr></thead>\n<tbody>\n";
    for (const Row& row : table.rows) {
        html += row.muted ? "<tr class=\"muted\">" : "<tr>";
        for (std::size_t c = 0; c < row.cells.size(); ++c) {
            html += std::string{isNumeric(table.columns[c]) ? "<td class=\"n\">" : "<td>"} +
                    htmlEscaped(shownText(row.cells[c], table.columns[c])) + "</td>";
        }
        html += "</tr>\n";
    }
    html += "</tbody></table></div>\n";
    for (const std::string& note : table.notes) {
        html += "<p class=\"note\">" + htmlEscaped(note) + "</p>\n";
    }
    return html;
}

std::string foundHtml(const Study& study, const Findings& findings) {
    std::string html;
    for (const IndexFinding& index : findings.index) {
        html += paragraph(indexSentence(study, findings.plan, index));
    }
    for (const IndexPortion& portion : findings.indexPortions) {
        html += paragraph(indexPortionSentence(study, findings.plan, portion));
    }
    for (const IndexPair& pair : findings.indexPairs) {
        html += paragraph(indexPairSentence(study, findings.plan, pair));
    }
    for (const MealFinding& meal : findings.meals) {
        html += paragraph(mealSentence(study, findings.plan, meal));
    }
    for (const ComparisonFinding& comparison : findings.comparisons) {
        html += paragraph(comparisonSentence(study, findings.plan, comparison));
    }
    for (const MarginFinding& finding : findings.companions.margins) {
        html += paragraph(marginSentence(study, findings.plan, finding));
    }
    for (const NonInferiorityFinding& finding : findings.companions.nonInferiority) {
        html += paragraph(marginSentence(study, findings.plan, finding));
    }
    for (const DigestionSample& sample : findings.digestion.bySample) {
        html += paragraph(digestionSentence(study, findings.digestion, sample, findings.plan.alpha));
    }
    for (const DigestionComparison& comparison : findings.digestion.comparisons) {
        html += paragraph(digestionSentence(study, findings.digestion, comparison, findings.plan.alpha));
    }
    for (const std::vector<Sentence>& sentences :
         {toleranceResults(study, findings), bridgeResults(findings)}) {
        for (const Sentence& sentence : sentences) {
            html += paragraph(sentence.text);
        }
    }
    if (html.empty()) {
        html = paragraph("Curves were measured; no comparison and no index were asked for or possible.");
    }
    return html;
}

/// What a rule or an authority asks, in counts; the points themselves are tables.
std::string askedHtml(const Study& study, const Findings& findings) {
    std::string html;
    if (!findings.conformity.empty()) {
        html += paragraph(conformitySentence(study, findings.conformity, findings.plan));
    }
    std::set<std::string> foods;
    for (const EvidenceFinding& finding : findings.evidence) {
        if (foods.insert(finding.food).second) {
            html += paragraph(evidenceSentence(study, findings.evidence, finding.food));
        }
    }
    if (!findings.evidence.empty()) {
        html += paragraph(evidenceClosingSentence());
    }
    return html.empty() ? html : "<h2>What is asked of such a study</h2>\n" + html;
}

std::string problemsHtml(const Findings& findings) {
    if (findings.problems.empty()) {
        return "<p>Nothing to report.</p>\n";
    }
    std::string html = "<ul>\n";
    for (const Problem& problem : findings.problems) {
        const std::string severity{nameOf(problem.severity)};
        const std::string place = placeOf(problem);
        const std::string look = problem.acceptedBecause.empty() ? severity : "note";
        html += "<li class=\"" + look + "\">" + severity + ": " +
                (place.empty() ? "" : htmlEscaped(place) + ": ") + htmlEscaped(problem.what) +
                (problem.remedy.empty() ? "" : "; " + htmlEscaped(problem.remedy)) +
                htmlEscaped(acceptedText(problem)) + "</li>\n";
    }
    return html + "</ul>\n";
}

/// An SVG file's text without what stands before its root element, which has no place inside a page.
std::string_view inlineSvg(std::string_view svg) {
    const std::size_t root = svg.find("<svg");
    return root == std::string_view::npos ? std::string_view{} : svg.substr(root);
}

std::string inputsHtml(const Findings& findings) {
    std::string html = "<ul>\n";
    for (const InputFile& input : findings.inputs) {
        html += "<li>" + htmlEscaped(input.file) + ": SHA-256 <code>" + htmlEscaped(input.sha256) +
                "</code></li>\n";
    }
    return html + "</ul>\n";
}

}  // namespace

std::string htmlEscaped(std::string_view text) {
    std::string escaped;
    escaped.reserve(text.size());
    for (const char c : text) {
        switch (c) {
            case '&':
                escaped += "&amp;";
                break;
            case '<':
                escaped += "&lt;";
                break;
            case '>':
                escaped += "&gt;";
                break;
            case '"':
                escaped += "&quot;";
                break;
            case '\'':
                escaped += "&#39;";
                break;
            default:
                if (static_cast<unsigned char>(c) >= 0x20 || c == '\n' || c == '\t') {
                    escaped += c;
                }
        }
    }
    return escaped;
}

std::string reportHtml(const Study& study, const Findings& findings,
                       const std::vector<ReportFigure>& figures) {
    const std::string title = htmlEscaped(study.title.empty() ? "Feeding study" : study.title);
    std::string html =
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width\">\n<title>" +
        title + "</title>\n<style>" + std::string{style} + "</style>\n</head>\n<body>\n<h1>" + title +
        "</h1>\n<p class=\"caution\">" + htmlEscaped(cautionText()) + "</p>\n";
    html += "<h2>What was found</h2>\n" + foundHtml(study, findings);
    html += askedHtml(study, findings);
    html += "<h2>How it was computed</h2>\n" + paragraph(methodsParagraph(study, findings));
    for (const Sentence& sentence : toleranceMethods(study, findings)) {
        html += paragraph(sentence.text);
    }
    if (!figures.empty()) {
        html += "<h2>Figures</h2>\n";
        for (const ReportFigure& figure : figures) {
            html += "<figure>\n" + std::string{inlineSvg(figure.svg)} + "\n<figcaption>" +
                    htmlEscaped(figure.title) + "</figcaption>\n</figure>\n";
        }
    }
    html += "<h2>Problems and notes</h2>\n" + problemsHtml(findings);
    html += "<h2>Tables</h2>\n";
    for (const std::string_view key : {"index",           "index_subjects",
                                       "index_ways",      "index_outliers",
                                       "index_pairs",     "index_portions",
                                       "meals",           "conformity",
                                       "evidence",        "portions",
                                       "composition",     "servings",
                                       "insulin_summary", "sub_windows",
                                       "within_subject",  "comparisons",
                                       "companions",      "ranks",
                                       "margins",         "influence",
                                       "model",           "model_terms",
                                       "time_course",     "time_course_tests",
                                       "crossover",       "crossover_subjects",
                                       "sensitivity",     "plan_registered",
                                       "exclusions",      "exclusions_effect",
                                       "summary",         "measures"}) {
        html += tableHtml(buildTable(key, study, findings));
    }
    if (!findings.digestion.bySample.empty()) {
        for (const std::string_view key : {"digestion_fractions", "digestion_index", "digestion_comparisons",
                                           "digestion_fits", "digestion_slopes"}) {
            html += tableHtml(buildTable(key, study, findings));
        }
    }
    for (const std::string_view key :
         {"tolerance_summary", "tolerance_tests", "tolerance_doses", "tolerance_incidence", "diary_missing",
          "adverse_events", "adverse_event_counts", "bridge"}) {
        if (const Table table = buildTable(key, study, findings); !table.rows.empty()) {
            html += tableHtml(table);
        }
    }
    html += "<h2>Inputs</h2>\n" + inputsHtml(findings);
    html +=
        "<footer>Aftercurve " + htmlEscaped(versionText()) + ", revision " + htmlEscaped(revisionText()) +
        ". Every number at full precision: results.json and the folder tables beside this page. The folder "
        "recompute holds the samples as analysed and an R script that computes every number again and says "
        "where it agrees.</footer>\n</body>\n</html>\n";
    return html;
}

}  // namespace aftercurve
