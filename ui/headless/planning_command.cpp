#include "ui/headless/planning_command.h"

#include <algorithm>
#include <charconv>
#include <ostream>
#include <system_error>

#include "core/files/atomic_write.h"
#include "core/files/excerpt.h"
#include "core/files/study_folder.h"
#include "core/planning/check_design.h"
#include "core/planning/earlier_study.h"
#include "core/planning/planning_sentence.h"
#include "core/planning/power_table.h"
#include "core/planning/schedule_files.h"

namespace aftercurve {

namespace {

Problem wrong(std::string what, std::string remedy) {
    Problem problem;
    problem.what = std::move(what);
    problem.remedy = std::move(remedy);
    return problem;
}

/// Puts the question together; what is missing is said once, by option.
class QuestionMaker {
  public:
    explicit QuestionMaker(const PowerArguments& arguments) : given_(arguments), question_(asked()) {}

    const PlanningQuestion& question() const { return question_; }

    /// The options that are missing; empty: none.
    const std::string& missing() const { return missing_; }

    /// False where the effect was left open, to be found.
    bool effectGiven() const { return effectGiven_; }

  private:
    PlanningQuestion asked() {
        const TwoFoodDesign design = given_.periods ? TwoFoodDesign::crossover : TwoFoodDesign::paired;
        if (given_.question == "difference") {
            return DifferenceQuestion{effect(given_.difference, "--difference"), spread(), design,
                                      given_.alpha.value_or(0.05), given_.comparisons};
        }
        if (given_.question == "foods") {
            return FoodsQuestion{means(), needed(given_.sdWithin, "--sd-within"), given_.periods,
                                 given_.alpha.value_or(0.05)};
        }
        const PlanningScale scale = given_.ratio ? PlanningScale::ratio : PlanningScale::difference;
        const double same = given_.ratio ? 1.0 : 0.0;
        if (given_.question == "equivalence") {
            return EquivalenceQuestion{scale,
                                       effect(given_.low, "--low"),
                                       effect(given_.high, "--high"),
                                       given_.expected.value_or(same),
                                       spread(),
                                       design,
                                       given_.alpha.value_or(0.05)};
        }
        if (given_.question == "non-inferiority") {
            return NonInferiorityQuestion{scale,
                                          effect(given_.limit, "--limit"),
                                          given_.expected.value_or(same),
                                          !given_.higherIsBetter,
                                          spread(),
                                          design,
                                          given_.alpha.value_or(0.025)};
        }
        if (given_.question == "interval") {
            return IntervalQuestion{effect(given_.halfWidth, "--half-width"), spread(), design,
                                    given_.alpha.value_or(0.05), given_.assurance};
        }
        return IndexQuestion{effect(given_.halfWidth, "--half-width"), indexSd(), given_.alpha.value_or(0.05),
                             given_.assurance};
    }

    void miss(const std::string& option) { missing_ += (missing_.empty() ? "" : " and ") + option; }

    double needed(const std::optional<double>& value, const char* option) {
        if (!value) {
            miss(option);
        }
        return value.value_or(0.0);
    }

    /// May be left open where n is given.
    double effect(const std::optional<double>& value, const char* option) {
        if (!value && given_.n) {
            effectGiven_ = false;
            return 0.0;
        }
        return needed(value, option);
    }

    std::vector<double> means() {
        if (!given_.means.empty()) {
            return given_.means;
        }
        if (given_.foods == 0) {
            miss("--means (or --foods and --range)");
            return {};
        }
        if (given_.foods > mostFoods) {
            return std::vector<double>(mostFoods + 1);  // refused by validate, with the number allowed
        }
        return leastFavourableMeans(given_.foods, effect(given_.range, "--range"));
    }

    Spread spread() {
        const bool cvFits = given_.ratio;
        if (given_.sd) {
            return {SpreadKind::sdOfDifferences, *given_.sd};
        }
        if (given_.sdWithin) {
            return {SpreadKind::sdWithin, *given_.sdWithin};
        }
        if (given_.cv) {
            return {SpreadKind::cvWithin, *given_.cv};
        }
        miss(cvFits ? "--cv, --sd, --sd-within or --study" : "--sd, --sd-within or --study");
        return {};
    }

    double indexSd() {
        if (given_.sd) {
            return *given_.sd;
        }
        if (given_.cv && given_.mean) {
            return sdOfIndex(*given_.cv, *given_.mean);
        }
        miss("--sd, --cv with --mean, or --study");
        return 0.0;
    }

    const PowerArguments& given_;
    std::string missing_;
    bool effectGiven_ = true;
    PlanningQuestion question_;  // last: asked() fills the two above
};

/// Whether a scatter of an earlier study answers this question.
bool fits(const EarlierSpread& one, const PowerArguments& arguments) {
    if (!one.spread || (!arguments.food.empty() && one.food != arguments.food)) {
        return false;
    }
    if (!arguments.source.empty() && wordFor(one.source) != arguments.source) {
        return false;
    }
    if (arguments.question == "index") {
        return one.source == SpreadSource::indexValues;
    }
    if (one.source == SpreadSource::indexValues) {
        return false;
    }
    if (arguments.question == "foods") {
        return one.spread->kind == SpreadKind::sdWithin;
    }
    return (one.spread->kind == SpreadKind::cvWithin) == arguments.ratio;
}

/// Fills the scatter from the study that was named.
Exit takeSpread(PowerArguments& arguments, std::ostream& out, std::ostream& messages) {
    const StudyReading reading = readStudyFolder(arguments.study);
    if (!reading.study) {
        for (const Problem& problem : reading.problems) {
            messages << lineFor(problem) << '\n';
        }
        return Exit::unreadable;
    }
    const Study& study = *reading.study;
    const auto all = earlierSpreads(study, study.plan, arguments.analyte, arguments.measure);
    if (!all) {
        messages << lineFor(all.problem()) << '\n';
        return Exit::unreadable;
    }
    const auto found = std::find_if(all.value().begin(), all.value().end(),
                                    [&](const EarlierSpread& one) { return fits(one, arguments); });
    if (found == all.value().end()) {
        messages << lineFor(wrong("the study has no scatter that fits this question",
                                  "see --spread-from, --food, --analyte and --measure"))
                 << '\n';
        for (const EarlierSpread& one : all.value()) {
            messages << "note: " << printable(sentenceFor(one, study, study.plan.alpha)) << '\n';
        }
        return Exit::partly;
    }
    out << printable(sentenceFor(*found, study, study.plan.alpha)) << ".\n";
    arguments.unit = arguments.unit.empty() && found->unit != "%" ? found->unit : arguments.unit;
    switch (found->spread->kind) {
        case SpreadKind::sdOfDifferences:
            arguments.sd = found->spread->value;
            break;
        case SpreadKind::sdWithin:
            arguments.sdWithin = found->spread->value;
            break;
        case SpreadKind::cvWithin:
            arguments.cv = found->spread->value;
            break;
    }
    return Exit::done;
}

Exit writeCurve(const PowerCurve& curve, const std::filesystem::path& folder, std::ostream& out,
                std::ostream& messages) {
    std::error_code error;
    std::filesystem::create_directories(folder, error);
    const auto done =
        error ? Result<Done>{wrong("the folder " + folder.string() + " cannot be made: " + error.message(),
                                   "name a folder that can be written to")}
              : writeAtomically(folder / "power_curve.csv", asCsv(powerTable(curve)));
    if (!done) {
        messages << lineFor(done.problem()) << '\n';
        return Exit::unreadable;
    }
    out << "Written: power_curve.csv\n";
    return Exit::done;
}

}  // namespace

Exit runPower(const PowerArguments& given, std::ostream& out, std::ostream& messages) {
    PowerArguments arguments = given;
    if (!arguments.study.empty()) {
        if (arguments.sd || arguments.sdWithin || arguments.cv) {
            messages << lineFor(
                            wrong("a scatter and a study to take it from are both given", "give one of them"))
                     << '\n';
            return Exit::usage;
        }
        if (const Exit exit = takeSpread(arguments, out, messages); exit != Exit::done) {
            return exit;
        }
    }
    const QuestionMaker maker(arguments);
    if (!maker.missing().empty()) {
        messages << lineFor(wrong("power " + arguments.question + " needs " + maker.missing(),
                                  "see power --help"))
                 << '\n';
        return Exit::usage;
    }
    const PlanningQuestion& question = maker.question();
    const SizeRequest request{arguments.power.value_or(0.8), arguments.dropout, arguments.multipleOf};
    auto problems = validate(request);
    if (maker.effectGiven()) {
        for (Problem& problem : validate(question)) {
            problems.push_back(std::move(problem));
        }
    }
    if (!problems.empty()) {
        for (const Problem& problem : problems) {
            messages << lineFor(problem) << '\n';
        }
        return Exit::usage;
    }
    bool answered = false;
    if (!maker.effectGiven()) {
        const DetectableAnswer answer = detectableWith(question, *arguments.n, request.power);
        out << detectableSentence(question, *arguments.n, request.power, answer, arguments.unit) << '\n';
        answered = answer.value.has_value();
    } else if (arguments.n) {
        const PowerAnswer answer = powerWith(question, *arguments.n);
        out << powerSentence(question, *arguments.n, answer, arguments.unit) << '\n';
        answered = answer.value.has_value();
    } else {
        const SizeAnswer answer = subjectsFor(question, request);
        out << sizeSentence(question, request, answer, arguments.unit) << '\n';
        answered = answer.n.has_value();
    }
    if (!arguments.out.empty() && maker.effectGiven()) {
        if (const Exit exit =
                writeCurve(powerCurve(question, request, arguments.unit), arguments.out, out, messages);
            exit != Exit::done) {
            return exit;
        }
    }
    return answered ? Exit::done : Exit::partly;
}

Exit runRandomise(const RandomiseArguments& arguments, std::ostream& out, std::ostream& messages) {
    ScheduleOptions options;
    options.foods = arguments.foods;
    options.block = arguments.block;
    options.seed = arguments.seed;
    options.prefix = arguments.prefix;
    const auto refuse = [&](const Problem& problem) {
        messages << lineFor(problem) << '\n';
        return Exit::usage;
    };
    const auto design = sequenceDesignFrom(arguments.design);
    if (!design) {
        return refuse(
            wrong("there is no design " + quote(arguments.design), "give cyclic, williams or permutations"));
    }
    options.design = *design;
    for (const std::string& text : arguments.strata) {
        const std::size_t colon = text.rfind(':');
        Stratum stratum;
        stratum.name = text.substr(0, colon);
        const char* const end = text.data() + text.size();
        const char* const begin = colon == std::string::npos ? end : text.data() + colon + 1;
        const auto [at, error] = std::from_chars(begin, end, stratum.subjects);
        if (error != std::errc{} || at != end) {
            return refuse(wrong("the stratum " + quote(text) + " has no number of subjects",
                                "write it as name:subjects, such as women:12"));
        }
        options.strata.push_back(std::move(stratum));
    }
    if (options.strata.empty()) {
        options.strata.push_back({"", arguments.subjects});
    } else if (arguments.subjects != 0) {
        return refuse(wrong("subjects are given for the strata and in all", "leave --subjects out"));
    }
    if (const auto problems = validate(options); !problems.empty()) {
        for (const Problem& problem : problems) {
            messages << lineFor(problem) << '\n';
        }
        return Exit::usage;
    }
    const Result<Schedule> schedule = makeSchedule(options);
    if (!schedule) {
        return refuse(schedule.problem());
    }
    const auto written = writeSchedule(schedule.value(), arguments.out, arguments.sealed);
    if (!written) {
        messages << lineFor(written.problem()) << '\n';
        return Exit::unreadable;
    }
    for (const Problem& note : schedule.value().notes) {
        messages << lineFor(note) << '\n';
    }
    out << textOf(checkDesign(givenFrom(schedule.value())));
    for (const std::string& name : written.value()) {
        out << "Written: " << name << '\n';
    }
    if (arguments.sealed) {
        out << "Give the folder key to somebody who does not meet the subjects.\n";
    }
    return Exit::done;
}

Exit runCheckSchedule(const std::filesystem::path& file, std::ostream& out, std::ostream& messages) {
    const GivenReading reading = readScheduleFile(file);
    for (const Problem& problem : reading.problems) {
        messages << lineFor(problem) << '\n';
    }
    if (!reading.schedule) {
        return Exit::unreadable;
    }
    const DesignCheck check = checkDesign(*reading.schedule);
    for (const Problem& problem : check.findings) {
        messages << lineFor(problem) << '\n';
    }
    out << textOf(check);
    return Exit::done;
}

}  // namespace aftercurve
