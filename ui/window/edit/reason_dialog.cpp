#include "ui/window/edit/reason_dialog.h"

#include <QComboBox>
#include <QDate>
#include <QDialogButtonBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QLocale>
#include <QPushButton>
#include <QStringList>
#include <QVBoxLayout>
#include <algorithm>
#include <span>

#include "core/check/acceptance.h"
#include "core/files/registration.h"
#include "core/study/curve_series.h"
#include "core/study/laboratory_exclusion.h"
#include "core/study/units.h"
#include "core/tolerance/diary_runs.h"
#include "ui/models/look.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

QLabel* wrapped(const QString& text, QWidget* parent) {
    auto* label = new QLabel(text, parent);
    label->setWordWrap(true);
    label->setTextFormat(Qt::PlainText);
    label->setTextInteractionFlags(Qt::TextSelectableByMouse);
    return label;
}

std::string today() {
    return plain(QDate::currentDate().toString(Qt::ISODate));
}

/// Draws of the study that an exclusion names.
std::size_t drawsOf(const Exclusion& exclusion, const Study& study) {
    std::size_t count = 0;
    CurveSeries place;
    place.analyte = static_cast<std::uint32_t>(findAnalyte(study, exclusion.analyte).value_or(0));
    for (std::size_t i = 0; i < study.draws.size(); ++i) {
        place.subject = study.draws[i].subject;
        place.food = study.draws[i].food;
        place.visit = study.draws[i].visit;
        count += excludes(exclusion, study, place) || excludesSample(exclusion, study, place, i) ? 1 : 0;
    }
    return count;
}

/// "3 of 480 draws and 7 of 420 diary days", "12 of 120 readings": what an exclusion takes out.
QString extentOf(const Exclusion& exclusion, const Study& study) {
    const std::span<const Exclusion> alone(&exclusion, 1);
    const auto share = [](std::size_t part, std::size_t whole, const QString& words) {
        const QLocale locale;
        return words.arg(locale.toString(static_cast<qulonglong>(part)),
                         locale.toString(static_cast<qulonglong>(whole)));
    };
    if (!exclusion.method.empty()) {
        const auto& results = study.fibre.results;
        const auto count = std::count_if(results.begin(), results.end(), [&](const FibreResult& one) {
            return excludes(alone, one) != nullptr;
        });
        return share(static_cast<std::size_t>(count), results.size(),
                     ReasonDialog::tr("%1 of %2 results of fibre"));
    }
    if (isOfLaboratory(exclusion)) {
        const auto& readings = study.assays.readings;
        const auto count = std::count_if(readings.begin(), readings.end(), [&](const AssayReading& one) {
            return excludes(alone, one) != nullptr;
        });
        return share(static_cast<std::size_t>(count), readings.size(), ReasonDialog::tr("%1 of %2 readings"));
    }
    const QString draws =
        share(drawsOf(exclusion, study), study.draws.size(), ReasonDialog::tr("%1 of %2 draws"));
    const auto& days = study.diary.days;
    const auto count = std::count_if(days.begin(), days.end(),
                                     [&](const DiaryDay& one) { return excludesDay(exclusion, one); });
    return days.empty() ? draws
                        : ReasonDialog::tr("%1 and %2")
                              .arg(draws, share(static_cast<std::size_t>(count), days.size(),
                                                ReasonDialog::tr("%1 of %2 diary days")));
}

}  // namespace

ReasonDialog::ReasonDialog(Session& session, const QString& name, const ReasonWords& words, Act act,
                           QWidget* parent)
    : QDialog(parent),
      session_(session),
      act_(std::move(act)),
      sharesReason_(words.sharesReason),
      formPlace_(static_cast<int>(words.texts.size())),
      reason_(new QLineEdit(this)),
      by_(new QLineEdit(this)),
      choice_(new QComboBox(this)),
      refusal_(wrapped({}, this)),
      buttons_(new QDialogButtonBox(QDialogButtonBox::Cancel, this)) {
    setObjectName(name + QStringLiteral("Dialog"));
    setAttribute(Qt::WA_DeleteOnClose);
    setWindowTitle(words.title);
    auto* column = new QVBoxLayout(this);
    for (const QString& text : words.texts) {
        column->addWidget(wrapped(text, this));
    }
    auto* form = new QFormLayout;
    reason_->setObjectName(name + QStringLiteral(".reason"));
    reason_->setAccessibleName(QString(words.reasonLabel).remove(u'&'));
    reason_->setPlaceholderText(words.placeholder);
    reason_->setMaxLength(500);
    if (sharesReason_) {
        reason_->setText(session.authorship().why);
    }
    reason_->setMinimumWidth(fontMetrics().height() * 26);
    by_->setObjectName(name + QStringLiteral(".by"));
    by_->setAccessibleName(sharesReason_ ? tr("Changed by") : tr("Decided by"));
    by_->setMaxLength(100);
    by_->setText(session.authorship().by);
    choice_->setObjectName(name + QStringLiteral(".choice"));
    choice_->setAccessibleName(QString(words.choiceLabel).remove(u'&'));
    choice_->addItems(words.choices);
    choice_->setVisible(!words.choices.isEmpty());
    if (!words.choices.isEmpty()) {
        form->addRow(words.choiceLabel, choice_);
    }
    form->addRow(words.reasonLabel, reason_);
    form->addRow(sharesReason_ ? tr("Changed &by") : tr("&Decided by"), by_);
    column->addLayout(form);
    QPalette colours = palette();
    colours.setColor(QPalette::WindowText, windowLook(colours).error);
    refusal_->setPalette(colours);
    refusal_->hide();
    column->addWidget(refusal_);
    go_ = buttons_->addButton(words.button, QDialogButtonBox::AcceptRole);
    go_->setObjectName(name + QStringLiteral(".go"));
    column->addWidget(buttons_);
    connect(buttons_, &QDialogButtonBox::accepted, this, &ReasonDialog::accept);
    connect(buttons_, &QDialogButtonBox::rejected, this, &ReasonDialog::reject);
    for (QLineEdit* edit : {reason_, by_}) {
        connect(edit, &QLineEdit::textChanged, this, &ReasonDialog::check);
    }
    check();
}

void ReasonDialog::addForm(QWidget* form) {
    static_cast<QVBoxLayout*>(layout())->insertWidget(formPlace_, form, 1);
}

void ReasonDialog::check() {
    go_->setEnabled(!reason_->text().trimmed().isEmpty() && !by_->text().trimmed().isEmpty());
}

void ReasonDialog::accept() {
    const Authorship author{by_->text().trimmed(), reason_->text().trimmed()};
    const Result<Done> done = act_(author, choice_->currentText());
    if (!done) {
        refusal_->setText(asSentence(shown(done.problem().what)) + QStringLiteral(". ") +
                          asSentence(shown(done.problem().remedy)));
        refusal_->show();
        return;
    }
    session_.setAuthorship({author.by, sharesReason_ ? author.why : session_.authorship().why});
    QDialog::accept();
}

void askToExclude(Session& session, const Exclusion& proposal, QWidget* parent) {
    const Study& study = *session.study();
    ReasonWords words;
    words.title = ReasonDialog::tr("Exclude");
    words.texts = {
        ReasonDialog::tr("Exclude %1: %2. The values stay in the tables; means, comparisons and indices "
                         "leave them out, and the report says so.")
            .arg(placeOf(proposal, study), extentOf(proposal, study))};
    words.reasonLabel = ReasonDialog::tr("&Reason");
    words.placeholder = isOfLaboratory(proposal) ? ReasonDialog::tr("e.g. the tube leaked")
                                                 : ReasonDialog::tr("e.g. vomited at 40 min");
    words.button = ReasonDialog::tr("Exclude");
    const auto act = [&session, proposal](const Authorship& author, const QString&) {
        Exclusion exclusion = proposal;
        exclusion.reason = plain(author.why);
        exclusion.by = plain(author.by);
        exclusion.on = today();
        std::vector<Exclusion> list = session.study()->exclusions;
        list.push_back(std::move(exclusion));
        return session.changeAs({SetExclusions{std::move(list)}}, ReasonDialog::tr("exclusion"), author);
    };
    (new ReasonDialog(session, QStringLiteral("exclude"), words, act, parent))->open();
}

void askToCountAgain(Session& session, std::size_t position, QWidget* parent) {
    const Study& study = *session.study();
    const Exclusion& exclusion = study.exclusions[position];
    ReasonWords words;
    words.title = ReasonDialog::tr("Count again");
    words.texts = {ReasonDialog::tr("%1 was excluded: %2. It will count again.")
                       .arg(asSentence(placeOf(exclusion, study)), shown(exclusion.reason))};
    words.reasonLabel = ReasonDialog::tr("&Reason");
    words.placeholder = ReasonDialog::tr("e.g. wrong visit was named");
    words.button = ReasonDialog::tr("Count again");
    const auto act = [&session, gone = exclusion](const Authorship& author, const QString&) {
        std::vector<Exclusion> list = session.study()->exclusions;
        const auto found = std::find(list.begin(), list.end(), gone);
        if (found != list.end()) {
            list.erase(found);
        }
        return session.changeAs({SetExclusions{std::move(list)}}, ReasonDialog::tr("end of an exclusion"),
                                author);
    };
    (new ReasonDialog(session, QStringLiteral("countAgain"), words, act, parent))->open();
}

void askToAccept(Session& session, const Problem& problem, QWidget* parent) {
    ReasonWords words;
    words.title = ReasonDialog::tr("Accept a warning");
    words.texts = {
        asSentence(shown(problem.what)) + u'.',
        ReasonDialog::tr("The warning stays in the list and in the report, with your reason beside it.")};
    words.reasonLabel = ReasonDialog::tr("Accepted &because");
    words.placeholder = ReasonDialog::tr("e.g. measured again in the laboratory, same value");
    words.button = ReasonDialog::tr("Accept");
    const auto act = [&session, problem](const Authorship& author, const QString&) {
        Acceptance acceptance;
        acceptance.check = problem.check;
        acceptance.subject = problem.subject;
        acceptance.food = problem.food;
        acceptance.visit = problem.visit > 0 ? std::optional(problem.visit) : std::nullopt;
        acceptance.analyte = problem.analyte;
        acceptance.timeMin = problem.timeMin;
        acceptance.because = plain(author.why);
        acceptance.by = plain(author.by);
        acceptance.on = today();
        std::vector<Acceptance> list = session.study()->accepted;
        list.push_back(std::move(acceptance));
        return session.changeAs({SetAccepted{std::move(list)}}, ReasonDialog::tr("acceptance"), author);
    };
    (new ReasonDialog(session, QStringLiteral("accept"), words, act, parent))->open();
}

void askToConvert(Session& session, const UnitScope& scope, QWidget* parent) {
    const Study& study = *session.study();
    const auto analyte = findAnalyte(study, scope.analyte);
    const std::string unit = analyte ? study.analytes[*analyte].unit : std::string{};
    Exclusion place;
    place.subject = scope.subject;
    place.food = scope.food;
    place.visit = scope.visit;
    const QString where = scope.file.empty() ? placeOf(place, study) : shown(scope.file);
    ReasonWords words;
    words.title = ReasonDialog::tr("Convert from another unit");
    words.texts = {
        ReasonDialog::tr("The %1 values of %2 stand as %3. If they were typed in another unit, they are "
                         "converted here, each change with its old value in the record.")
            .arg(shown(scope.analyte), where.isEmpty() ? ReasonDialog::tr("the whole study") : where,
                 shown(unit))};
    words.choiceLabel = ReasonDialog::tr("They were typed in");
    for (const Unit& one : unitTable()) {
        if (one.analyte == scope.analyte && one.unit != unit) {
            words.choices << shown(one.unit);
        }
    }
    words.reasonLabel = ReasonDialog::tr("&Reason");
    words.placeholder = ReasonDialog::tr("e.g. the laboratory confirms the unit");
    words.button = ReasonDialog::tr("Convert");
    const auto act = [&session, scope](const Authorship& author, const QString& typedIn) -> Result<Done> {
        const Result<std::vector<Change>> changes = unitChanges(*session.study(), scope, plain(typedIn));
        if (!changes) {
            return changes.problem();
        }
        return session.changeAs(changes.value(), ReasonDialog::tr("conversion of a unit"), author);
    };
    (new ReasonDialog(session, QStringLiteral("convert"), words, act, parent))->open();
}

void askToRegister(Session& session, QWidget* parent) {
    const RegisteredPlan registered = registrationOf(session.plan(), today(), "", "");
    const std::vector<RegisteredPlan>& before = session.study()->registered;
    ReasonWords words;
    words.title = ReasonDialog::tr("Register the plan");
    words.texts = {
        ReasonDialog::tr("The plan as it stands is kept in the study with today's date and its SHA-256:"),
        shown(registered.sha256),
        before.empty()
            ? ReasonDialog::tr(
                  "Deposit the hash elsewhere, before the values are seen. A plan that runs later and "
                  "differs is listed key by key.")
            : ReasonDialog::tr("%1 registered already, the last on %2. Those stay; this one is an amendment.")
                  .arg(QLocale().toString(static_cast<qulonglong>(before.size())), shown(before.back().on))};
    words.reasonLabel = ReasonDialog::tr("&Note");
    words.placeholder = before.empty() ? ReasonDialog::tr("e.g. deposited with the ethics board")
                                       : ReasonDialog::tr("e.g. why it was amended");
    words.button = ReasonDialog::tr("Register");
    const auto act = [&session](const Authorship& author, const QString&) {
        SetRegistered set{session.study()->registered};
        set.registered.push_back(
            registrationOf(session.plan(), today(), plain(author.by), plain(author.why)));
        return session.changeAs({std::move(set)}, ReasonDialog::tr("registration of the plan"), author);
    };
    (new ReasonDialog(session, QStringLiteral("register"), words, act, parent))->open();
}

void askToOpenAgain(Session& session, const Problem& problem, QWidget* parent) {
    ReasonWords words;
    words.title = ReasonDialog::tr("Open a warning again");
    words.texts = {
        asSentence(shown(problem.what)) + u'.',
        ReasonDialog::tr("It was accepted: %1. It will be open again.").arg(shown(problem.acceptedBecause))};
    words.reasonLabel = ReasonDialog::tr("&Reason");
    words.placeholder = ReasonDialog::tr("e.g. the sheet says otherwise");
    words.button = ReasonDialog::tr("Open again");
    const auto act = [&session, problem](const Authorship& author, const QString&) {
        std::vector<Acceptance> list = session.study()->accepted;
        std::erase_if(list, [&](const Acceptance& one) { return accepts(one, problem); });
        return session.changeAs({SetAccepted{std::move(list)}}, ReasonDialog::tr("end of an acceptance"),
                                author);
    };
    (new ReasonDialog(session, QStringLiteral("openAgain"), words, act, parent))->open();
}

QString placeOf(const Exclusion& exclusion, const Study& study) {
    QStringList parts;
    if (!exclusion.subject.empty()) {
        parts << ReasonDialog::tr("subject %1").arg(shown(exclusion.subject));
    }
    if (!exclusion.food.empty()) {
        parts << shown(labelOf(study, exclusion.food));
    }
    if (exclusion.visit) {
        parts << ReasonDialog::tr("visit %1").arg(*exclusion.visit);
    }
    if (!exclusion.analyte.empty()) {
        parts << shown(exclusion.analyte);
    }
    if (!exclusion.material.empty()) {
        const auto sample =
            exclusion.method.empty() ? findAssaySample(study.assays, exclusion.material) : std::nullopt;
        parts << shown(sample ? study.assays.samples[*sample].label : exclusion.material);
    }
    if (!exclusion.method.empty()) {
        parts << ReasonDialog::tr("method %1").arg(shown(exclusion.method));
    }
    if (!exclusion.run.empty()) {
        parts << ReasonDialog::tr("run %1").arg(shown(exclusion.run));
    }
    if (exclusion.replicate) {
        parts << ReasonDialog::tr("replicate %1").arg(*exclusion.replicate);
    }
    if (exclusion.timeMin) {
        parts << ReasonDialog::tr("%1 min").arg(*exclusion.timeMin);
    }
    return parts.join(QStringLiteral(", "));
}

}  // namespace aftercurve
