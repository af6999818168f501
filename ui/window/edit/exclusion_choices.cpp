#include "ui/window/edit/exclusion_choices.h"

#include <QCoreApplication>
#include <algorithm>

#include "ui/models/text.h"

namespace aftercurve {

namespace {

struct ExclusionText {
    Q_DECLARE_TR_FUNCTIONS(ExclusionChoices)
};

QString say(const char* text) {
    return ExclusionText::tr(text);
}

ExclusionChoice choice(QString text, const char* name, Exclusion exclusion) {
    return {std::move(text), QStringLiteral("editMenu.") + QLatin1String(name), std::move(exclusion)};
}

QString sampleLabel(const Study& study, const std::string& id) {
    const auto at = findAssaySample(study.assays, id);
    return shown(at ? study.assays.samples[*at].label : id);
}

std::vector<ExclusionChoice> ofReading(const Study& study, const AssayReading& reading) {
    Exclusion run;
    run.run = reading.run;
    ExclusionChoice wholeRun =
        choice(say("Exclude &run %1, its blanks too…").arg(shown(reading.run)), "excludeRun", run);
    if (reading.sample.empty()) {
        return {std::move(wholeRun)};
    }
    Exclusion sample;
    sample.material = reading.sample;
    Exclusion digestion = sample;
    digestion.run = reading.run;
    digestion.replicate = reading.replicate;
    Exclusion one = digestion;
    one.timeMin = reading.timeMin;
    return {choice(say("E&xclude this reading…"), "excludeReading", one),
            choice(say("Exclude this &digestion…"), "excludeDigestion", digestion), std::move(wholeRun),
            choice(say("Exclude all of &sample %1…").arg(sampleLabel(study, reading.sample)),
                   "excludeMaterial", sample)};
}

std::vector<ExclusionChoice> ofFibre(const FibreResult& result) {
    Exclusion method;
    method.material = result.material;
    method.method = result.method;
    Exclusion one = method;
    one.replicate = result.replicate;
    return {choice(say("E&xclude this determination…"), "excludeDetermination", one),
            choice(say("Exclude method %1 of %2…").arg(shown(result.method), shown(result.material)),
                   "excludeMethod", method)};
}

std::vector<ExclusionChoice> ofDiary(const Study& study, const DiaryDay& day) {
    Exclusion subject;
    subject.subject = day.subject;
    Exclusion food;
    food.food = day.food;
    Exclusion foodOfSubject = subject;
    foodOfSubject.food = day.food;
    Exclusion period = foodOfSubject;
    period.visit = std::max(1, day.period);
    const QString label = shown(labelOf(study, day.food));
    return {choice(say("E&xclude this period (visit %1)…").arg(*period.visit), "excludePeriod", period),
            choice(say("Exclude %1 of subject %2…").arg(label, shown(day.subject)), "excludeFoodOfSubject",
                   foodOfSubject),
            choice(say("Exclude &subject %1…").arg(shown(day.subject)), "excludeSubject", subject),
            choice(say("Exclude all of %1…").arg(label), "excludeFood", food)};
}

}  // namespace

std::vector<ExclusionChoice> exclusionChoices(const Study& study, StudyTable table, std::size_t row) {
    if (table == StudyTable::assays && row < study.assays.readings.size()) {
        return ofReading(study, study.assays.readings[row]);
    }
    if (table == StudyTable::assaySamples && row < study.assays.samples.size()) {
        const AssaySample& sample = study.assays.samples[row];
        Exclusion all;
        all.material = sample.id;
        return {choice(say("Exclude all of &sample %1…").arg(shown(sample.label)), "excludeMaterial", all)};
    }
    if (table == StudyTable::fibre && row < study.fibre.results.size()) {
        return ofFibre(study.fibre.results[row]);
    }
    if (table == StudyTable::diary && row < study.diary.days.size()) {
        return ofDiary(study, study.diary.days[row]);
    }
    return {};
}

}  // namespace aftercurve
