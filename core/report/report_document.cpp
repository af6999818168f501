#include "core/report/report_document.h"

#include <algorithm>

#include "core/base/caution.h"
#include "core/base/version.h"
#include "core/files/visits_csv.h"
#include "core/findings/table.h"
#include "core/publish/publication.h"
#include "core/report/study_overview.h"
#include "core/report/table_groups.h"

namespace aftercurve {

namespace {

/// Sentences of a paragraph; more of them in one block nobody reads. Common practice, no source.
constexpr std::size_t longestParagraph = 5;

ReportParagraph paragraphOf(std::string text) {
    ReportParagraph paragraph;
    paragraph.sentences.push_back({std::move(text), {}});
    return paragraph;
}

/// "1 subject", "2 subjects".
std::string counted(std::size_t count, const std::string& noun) {
    return std::to_string(count) + " " + noun + (count == 1 ? "" : "s");
}

/// The table that a sentence is mainly about, so that what belongs together makes one paragraph; empty where
/// it rests on none. What goes with a table is taken as that table.
std::string_view subjectOf(const Sentence& sentence) {
    if (sentence.sources.empty()) {
        return {};
    }
    const std::string_view table = sentence.sources.front().table;
    if (table == "companions" || table == "ranks") {
        return "comparisons";
    }
    return table == "model_terms"         ? std::string_view{"model"}
           : table == "time_course_tests" ? std::string_view{"time_course"}
                                          : table;
}

/// Sections one after the other, tables and figures numbered as they come.
class Builder {
  public:
    Builder(const Study& study, const Findings& findings, const std::vector<FigureSpec>& figures,
            const ReportOptions& options)
        : study_(study), findings_(findings), figures_(figures), options_(options) {}

    ReportDocument build();

  private:
    ReportSection& section(std::string id, std::string heading);
    void addTable(Table table, const std::string& file);
    void addTables(std::string_view group);
    void addFigures(bool ofTheFlow);
    void addProblems();
    void addPlan();
    void addSentences(const char* id, const char* heading, std::vector<Sentence> sentences);
    void addStudy();
    void addFlow();
    void addExclusions();
    void addProvenance();
    bool isOfTheFlow(const FigureSpec& figure) const;

    const Study& study_;
    const Findings& findings_;
    const std::vector<FigureSpec>& figures_;
    const ReportOptions& options_;
    ReportDocument document_;
    std::size_t tables_ = 0;
    std::size_t drawn_ = 0;
};

ReportSection& Builder::section(std::string id, std::string heading) {
    document_.sections.push_back({std::move(id), std::move(heading), {}});
    return document_.sections.back();
}

/// `file`: where the whole table stands beside the report; empty: nowhere.
void Builder::addTable(Table table, const std::string& file) {
    if (table.rows.empty()) {
        return;
    }
    const std::size_t all = table.rows.size();
    ReportTable shown;
    shown.printed = printedTable(table);  // of all rows: what a column holds is not said from the first ones
    if (all > options_.longestTable) {
        shown.printed.rows.resize(options_.longestTable);
        shown.note = "The first " + std::to_string(options_.longestTable) + " of " + std::to_string(all) +
                     " rows." + (file.empty() ? "" : " All of them stand in " + file + ".");
    }
    shown.number = ++tables_;
    document_.sections.back().blocks.emplace_back(std::move(shown));
}

void Builder::addTables(std::string_view group) {
    const auto groups = tableGroups();
    const auto found = std::find_if(groups.begin(), groups.end(),
                                    [group](const TableGroup& one) { return one.section == group; });
    for (const std::string_view key : keysOf(*found)) {
        addTable(buildTable(key, study_, findings_), "tables/" + std::string{key} + ".csv");
    }
}

bool Builder::isOfTheFlow(const FigureSpec& figure) const {
    return figure.panels.size() == 1 && figure.panels.front().kind == "flow";
}

void Builder::addFigures(bool ofTheFlow) {
    for (std::size_t i = 0; i < figures_.size(); ++i) {
        const FigureSpec& spec = figures_[i];
        if (isOfTheFlow(spec) == ofTheFlow) {
            FigureSpec untitled = spec;
            untitled.title.clear();
            document_.sections.back().blocks.emplace_back(
                ReportFigure{++drawn_, i, spec.title, captionOf(study_, findings_, untitled),
                             spec.style.widthMm, spec.style.heightMm});
        }
    }
}

void Builder::addStudy() {
    section("study", "The study");
    addTable(foodsOverview(study_), {});
    addTable(analytesOverview(study_), {});
    addTable(conductOverview(study_), {});
    addTables("study");
    if (document_.sections.back().blocks.empty()) {
        document_.sections.back().blocks.emplace_back(paragraphOf("The study says nothing of itself."));
    }
}

void Builder::addFlow() {
    ReportSection& flow = section("flow", "Flow of subjects");
    ReportParagraph paragraph;
    for (const std::string& note : findings_.flow.notes) {
        paragraph.sentences.push_back({note + ".", {}});
    }
    if (!paragraph.sentences.empty()) {
        flow.blocks.emplace_back(std::move(paragraph));
    }
    addFigures(true);
    addTables("flow");
}

void Builder::addProblems() {
    ReportSection& list = section("problems", "Problems and notes");
    if (findings_.problems.empty()) {
        list.blocks.emplace_back(paragraphOf("Nothing to report."));
        return;
    }
    ReportProblems problems{findings_.problems, {}};
    if (problems.problems.size() > options_.mostProblems) {
        problems.problems.resize(options_.mostProblems);
        problems.note = "The first " + std::to_string(options_.mostProblems) + " of " +
                        std::to_string(findings_.problems.size()) +
                        ", errors first. All of them stand in tables/problems.csv.";
    }
    list.blocks.emplace_back(std::move(problems));
}

void Builder::addExclusions() {
    ReportSection& exclusions = section("exclusions", "Exclusions");
    if (findings_.exclusionsIgnored) {
        exclusions.blocks.emplace_back(
            paragraphOf("This run was asked to ignore the study's exclusions: none is applied."));
    } else if (study_.exclusions.empty()) {
        exclusions.blocks.emplace_back(paragraphOf("The study has no exclusions."));
    }
    addTables("exclusions");
}

void Builder::addPlan() {
    ReportSection& plan = section("plan", "Plan");
    ReportParagraph paragraph;
    for (const RegisteredFinding& registered : findings_.registered) {
        std::string text = "A plan was registered on " + registered.on;
        text += registered.by.empty() ? "" : " by " + registered.by;
        text += " (SHA-256 " + registered.sha256 + ", which " +
                (registered.hashHolds ? "holds" : "does not hold: plan or hash were altered") + "); ";
        text += registered.differences == 0 ? "the plan that ran is the same."
                                            : "the plan that ran differs from it in " +
                                                  counted(registered.differences, "choice") + ".";
        paragraph.sentences.push_back({std::move(text), {}});
    }
    if (findings_.registered.empty()) {
        paragraph.sentences.push_back({"The study holds no registered plan.", {}});
    }
    plan.blocks.emplace_back(std::move(paragraph));
    addTables("plan");
    addTable(planOverview(findings_.plan), "results.json");
}

void Builder::addSentences(const char* id, const char* heading, std::vector<Sentence> sentences) {
    ReportSection& words = section(id, heading);
    std::string about;
    for (Sentence& sentence : sentences) {
        const std::string next{subjectOf(sentence)};
        const bool anew = words.blocks.empty() || (!next.empty() && next != about) ||
                          std::get<ReportParagraph>(words.blocks.back()).sentences.size() >= longestParagraph;
        if (anew) {
            words.blocks.emplace_back(ReportParagraph{});
        }
        about = next.empty() ? about : next;
        std::get<ReportParagraph>(words.blocks.back()).sentences.push_back(std::move(sentence));
    }
}

void Builder::addProvenance() {
    ReportFacts facts;
    if (!document_.date.empty()) {
        facts.facts.push_back({"Date of this report", document_.date, false});
    }
    facts.facts.push_back(
        {"Software", "Aftercurve " + std::string{versionText()} + ", revision " + std::string{revisionText()},
         false});
    facts.facts.push_back({"Seed of random numbers", std::to_string(findings_.plan.seed), false});
    facts.facts.push_back({"SHA-256 of the plan in the study", publicationOf(study_).planSha256, true});
    for (const InputFile& input : findings_.inputs) {
        facts.facts.push_back({"SHA-256 of " + input.file, input.sha256, true});
    }
    ReportSection& provenance = section("provenance", "Where it comes from");
    provenance.blocks.emplace_back(std::move(facts));
    provenance.blocks.emplace_back(paragraphOf(
        "Every number at full precision stands in results.json and in the folder tables beside "
        "this report. The folder recompute holds the samples as analysed and an R script that "
        "computes the numbers again and says where it agrees; its README names what it leaves out."));
}

ReportDocument Builder::build() {
    document_.title = study_.title.empty() ? "Feeding study" : study_.title;
    document_.date = options_.date;
    section("caution", "Caution").blocks.emplace_back(paragraphOf(std::string{cautionText()}));
    addStudy();
    addFlow();
    addProblems();
    addExclusions();
    addPlan();
    addSentences("methods", "Methods", methodsSentences(study_, findings_));
    addSentences("results", "Results", resultsSentences(study_, findings_));
    addTables("results");
    bool behind = false;
    for (const TableGroup& group : tableGroups()) {
        if (behind && group.section != "sensitivity") {
            section(std::string{group.section}, std::string{group.heading});
            addTables(group.section);
        }
        behind = behind || group.section == "results";
    }
    section("figures", "Figures");
    addFigures(false);
    section("sensitivity", "Sensitivity");
    addTables("sensitivity");
    addProvenance();
    std::erase_if(document_.sections, [](const ReportSection& one) { return one.blocks.empty(); });
    return std::move(document_);
}

}  // namespace

std::vector<Problem> validate(const ReportOptions& options) {
    std::vector<Problem> problems;
    const auto wrong = [&problems](std::string what, std::string remedy) {
        Problem problem;
        problem.what = std::move(what);
        problem.remedy = std::move(remedy);
        problems.push_back(std::move(problem));
    };
    if (!options.date.empty() && !isIsoDate(options.date)) {
        wrong("the date of the report is not written as 2026-03-02", "write year, month and day, or none");
    }
    for (const std::size_t most : {options.longestTable, options.mostProblems}) {
        if (most < 1 || most > 100000) {
            wrong("a report cannot show " + std::to_string(most) + " rows of a list", "choose 1 to 100000");
        }
    }
    return problems;
}

ReportDocument reportDocument(const Study& study, const Findings& findings,
                              const std::vector<FigureSpec>& figures, const ReportOptions& options) {
    return Builder(study, findings, figures, options).build();
}

}  // namespace aftercurve
