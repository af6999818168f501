#include "ui/headless/recipe_command.h"

#include <CLI/CLI.hpp>
#include <ostream>

#include "core/base/caution.h"
#include "core/base/number_text.h"
#include "core/files/atomic_write.h"
#include "core/files/excerpt.h"
#include "core/files/study_folder.h"
#include "core/findings/findings.h"
#include "core/findings/table.h"

namespace aftercurve {

namespace {

void print(const std::vector<Problem>& problems, std::ostream& messages) {
    for (const Problem& problem : problems) {
        messages << lineFor(problem) << '\n';
    }
}

std::string shownAmount(const PortionValue& value, int decimals) {
    return value.value ? fixedNumber(*value.value, decimals) : "not known: " + printable(value.absentBecause);
}

void printAmount(std::ostream& out, const char* what, int decimals, const RecipeFinding& recipe,
                 RecipeAmount RecipeContents::*member) {
    const auto line = [&](const char* in, PortionValue RecipeAmount::*of) {
        out << "  " << what << ' ' << in << ": " << shownAmount((recipe.before.*member).*of, decimals);
        if (recipe.after) {
            out << " -> " << shownAmount(((*recipe.after).*member).*of, decimals);
        }
        out << '\n';
    };
    line("in 100 g", &RecipeAmount::per100g);
    line("in a serving", &RecipeAmount::perServing);
}

void printRecipe(std::ostream& out, const RecipeFinding& recipe, const std::optional<double>& targetG) {
    out << printable(recipe.label);
    if (recipe.after) {
        out << ": as it is made -> " << printable(recipe.replacement);
    } else {
        out << ": nothing was replaced, " << printable(recipe.afterAbsentBecause);
    }
    out << '\n';
    printAmount(out, "fibre (g)", 2, recipe, &RecipeContents::fibre);
    printAmount(out, "available carbohydrate (g)", 1, recipe, &RecipeContents::availableCarbohydrate);
    printAmount(out, "energy (kJ)", 0, recipe, &RecipeContents::energyKj);
    if (targetG) {
        const auto whole = [](const RecipeContents& contents) {
            return contents.servings.whole ? plainNumber(*contents.servings.whole)
                                           : "not known: " + printable(contents.servings.exact.absentBecause);
        };
        out << "  servings for " << plainNumber(*targetG) << " g of fibre: " << whole(recipe.before);
        if (recipe.after) {
            out << " -> " << whole(*recipe.after);
        }
        out << '\n';
    }
    for (const std::string& note : recipe.notes) {
        out << "  " << printable(note) << '\n';
    }
}

}  // namespace

Exit runRecipe(const RecipeArguments& arguments, std::ostream& out, std::ostream& messages) {
    const StudyReading reading = readStudyFolder(arguments.study);
    if (!reading.study) {
        print(reading.problems, messages);
        return Exit::unreadable;
    }
    const Study& study = *reading.study;
    Findings findings;
    findings.fibre = fibreFindings(study, study.plan);
    if (findings.fibre.recipes.empty()) {
        Problem problem;
        problem.file = "study.json";
        problem.what = "the study has no recipe";
        problem.remedy = "add recipes to study.json";
        messages << lineFor(problem) << '\n';
        return Exit::unreadable;
    }
    print(problemsOf(study, findings.fibre), messages);
    if (!arguments.csv.empty()) {
        const std::string csv = asCsv(buildTable("recipes", study, findings));
        if (const auto done = writeAtomically(arguments.csv, csv); !done) {
            messages << lineFor(done.problem()) << '\n';
            return Exit::unreadable;
        }
    }
    for (const RecipeFinding& recipe : findings.fibre.recipes) {
        printRecipe(out, recipe, findings.fibre.targetG);
    }
    out << cautionText() << '\n';
    return Exit::done;
}

void addRecipeCommand(CLI::App& program, RecipeCommand& recipe) {
    recipe.command =
        program.add_subcommand("recipe", "What recipes hold, before and after a part is replaced");
    recipe.command->add_option("study", recipe.arguments.study, "Study folder (holds study.json)")
        ->required();
    recipe.command->add_option("--csv", recipe.arguments.csv, "File for the table recipes (CSV)");
}

std::optional<Exit> runRecipeCommand(const RecipeCommand& recipe, std::ostream& out, std::ostream& messages) {
    if (recipe.command->parsed()) {
        return runRecipe(recipe.arguments, out, messages);
    }
    return std::nullopt;
}

}  // namespace aftercurve
