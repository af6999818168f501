#include "core/study/conduct.h"

#include <array>

#include "core/base/number_text.h"

namespace aftercurve {

namespace {

constexpr std::array fields{
    ConductField{"population", "Population", &Conduct::population},
    ConductField{"health_criteria", "Not taken in", &Conduct::healthCriteria},
    ConductField{"randomised", "Order of foods randomised", nullptr, nullptr, &Conduct::randomised},
    ConductField{"blinding", "Blinding", &Conduct::blinding},
    ConductField{"comparator_reason", "Reason for the comparator", &Conduct::comparatorReason},
    ConductField{"compliance", "How eating all of it was seen to", &Conduct::compliance},
    ConductField{"conditions_of_use", "Proposed dose and pattern", &Conduct::conditionsOfUse},
    ConductField{"duration", "Effect when eaten daily", &Conduct::duration},
    ConductField{"ethics", "Ethics approval", &Conduct::ethics},
    ConductField{"registration", "Public registration", &Conduct::registration},
    ConductField{"fast_hours", "Shortest fast before a visit (h)", nullptr, &Conduct::fastHours},
    ConductField{"eating_minutes", "Longest time for eating (min)", nullptr, &Conduct::eatingMinutes},
    ConductField{"analyser_cv_percent", "Between-run CV of the glucose analyser (%)", nullptr,
                 &Conduct::analyserCvPercent},
};

}  // namespace

std::span<const ConductField> conductFields() {
    return fields;
}

std::string conductText(const Conduct& conduct, const ConductField& field) {
    if (field.text != nullptr) {
        return conduct.*field.text;
    }
    if (field.number != nullptr) {
        const std::optional<double>& number = conduct.*field.number;
        return number ? plainNumber(*number) : std::string{};
    }
    const std::optional<bool>& fact = conduct.*field.yesNo;
    return !fact ? "" : *fact ? "yes" : "no";
}

}  // namespace aftercurve
