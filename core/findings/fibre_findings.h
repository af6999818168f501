#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/fibre/fibre_methods.h"
#include "core/fibre/fibre_statements.h"
#include "core/fibre/recipe.h"
#include "core/fibre/replicates.h"
#include "core/study/laboratory_exclusion.h"
#include "core/study/study.h"

namespace aftercurve {

/// The determinations of one fraction of one material by one method in one laboratory.
struct FibreResultFinding {
    std::string material;
    std::string method;  ///< its number in the table of methods; as given where it is not there
    std::string fraction;
    std::string laboratory;
    std::size_t missing = 0;   ///< determinations without a value
    std::size_t valued = 0;    ///< with one
    bool spreadOnDry = false;  ///< `spread` is of the dry matter, since that of the material is not known
    FibreReplicates spread;
    RepeatabilityJudgement repeatability;
    PortionValue asIsPer100g;  ///< mean over the determinations with a value; absent where one cannot be told
    PortionValue dryPer100g;   ///< likewise
    PortionValue perServing;   ///< of the material as it is, where it is a food of the study
    std::string file;
    std::size_t row = 0;       ///< its first row that counts; its first one where all are excluded
    std::size_t excluded = 0;  ///< determinations that exclusions took out: neither missing nor valued

    /// False where all its determinations are excluded: it stands in the table and in nothing else.
    bool counts() const { return valued + missing > 0; }

    bool sameOrigin(const FibreResultFinding& other) const {
        return material == other.material && method == other.method && laboratory == other.laboratory;
    }
};

/// A method of the table against the definition that is asked for.
struct FibreMethodFinding {
    std::string method;
    bool used = false;
    std::optional<FibreSuitability> suitability;  ///< absent: no definition is asked for
};

/// Pairs that are told of; a study of fibre has some.
inline constexpr std::size_t mostDisagreements = 200;

/// Two results of one material that do not say the same, and what of it follows from the table of methods.
struct FibreDisagreement {
    std::size_t one = 0;  ///< in FibreFindings::results
    std::size_t other = 0;
    double differenceG = 0.0;  ///< one − other, g per 100 g on the same basis
    bool onDry = false;
    std::string text;       ///< a sentence
    bool explained = true;  ///< false: what the methods measure does not lead to it
};

/// A material by one method, or a recipe, as a label would speak of it.
struct FibreLabelFinding {
    std::string subject;  ///< material, or label of the recipe
    std::string
        key;  ///< stable and unique: kind, material, method and laboratory, or kind, recipe and "after"
    std::string state;  ///< "by 2009.01", "as it is made", "50 % of wheat flour as barley bran"
    FibreContents contents;
    PortionValue labelled;  ///< the amount that the rule declares, before rounding
    std::string label;      ///< after it; empty where `labelled` is absent or the rule has no rounding
    std::vector<StatementFinding> statements;  ///< as rule.statements
    std::string remark;                        ///< what the method leaves out of the definition
};

struct RecipeFinding {
    std::string id;
    std::string label;
    std::string food;  ///< id; empty: none
    RecipeContents before;
    std::optional<RecipeContents> after;
    std::string replacement;         ///< "50 % of wheat flour as barley bran"
    std::string afterAbsentBecause;  ///< empty where `after` is there
    std::vector<std::string> notes;  ///< where the fibre of a part was taken from
};

/// What the determinations of fibre and the recipes show.
struct FibreFindings {
    std::optional<FibreRule> rule;  ///< the definition that is asked for, where it is known
    std::optional<double> targetG;  ///< study.json's fibre.target_g, else the plan's fibre_target_g
    /// In the order of the file. One all of whose determinations are excluded is there without a number.
    std::vector<FibreResultFinding> results;
    std::vector<FibreMethodFinding> methods;       ///< all of the table; empty where nothing was determined
    std::vector<FibreDisagreement> disagreements;  ///< at most mostDisagreements
    std::vector<FibreLabelFinding> labels;
    std::vector<RecipeFinding> recipes;
    std::vector<LaboratoryLeftOut> excluded;  ///< determinations, in the order of the file
};

/// Excluded determinations are in nothing but `excluded`. A part of a recipe without its fibre takes the
/// total of that material, as it is, where exactly one result has one; where several have, the only one whose
/// method measures all that the definition includes; a note says so. Else its fibre stays absent.
FibreFindings fibreFindings(const Study& study, const Plan& plan);

std::vector<Problem> problemsOf(const Study& study, const FibreFindings& findings);

}  // namespace aftercurve
