#include "ui/window/edit/repeatability_form.h"

#include "core/base/number_text.h"
#include "core/edit/settings_edits.h"
#include "ui/models/text.h"
#include "ui/window/edit/list_table.h"
#include "ui/window/edit/reason_dialog.h"
#include "ui/window/session.h"

namespace aftercurve {

namespace {

/// What stands in the list; fails where an s_r is no number.
Result<std::vector<OwnRepeatability>> entriesOf(const ListTable& list) {
    std::vector<OwnRepeatability> entries;
    for (const QStringList& row : list.rows()) {
        const auto sdG = numberFrom(row[1]);
        if (!sdG) {
            Problem problem;
            problem.what = "the standard deviation of method '" + plain(row[0]) + "' is '" + plain(row[1]) +
                           "', which is no number";
            problem.remedy = "give s_r in g per 100 g, above 0";
            return problem;
        }
        entries.push_back({plain(row[0]), *sdG});
    }
    return entries;
}

}  // namespace

void askForRepeatability(Session& session, QWidget* parent) {
    ReasonWords words;
    words.title = ReasonDialog::tr("Own repeatability");
    words.texts = {ReasonDialog::tr(
        "What repeated determinations scatter by in your own laboratory, method by method. Two results that "
        "differ by more are reported; for a method that is not here, the published value holds.")};
    words.reasonLabel = ReasonDialog::tr("&Because");
    words.placeholder = ReasonDialog::tr("e.g. twelve duplicates of the control material");
    words.button = ReasonDialog::tr("Keep");
    words.sharesReason = true;
    auto* list = new ListTable(
        QStringLiteral("repeatability"), ReasonDialog::tr("Own repeatability"),
        {{ReasonDialog::tr("Method"), 10}, {ReasonDialog::tr("s_r (g per 100 g)"), 12, true}}, nullptr);
    std::vector<QStringList> rows;
    for (const OwnRepeatability& one : session.study()->fibre.repeatability) {
        rows.push_back({shown(one.method), shown(plainNumber(one.sdG))});
    }
    list->setRows(rows);
    const auto act = [&session, list](const Authorship& author, const QString&) -> Result<Done> {
        Result<std::vector<OwnRepeatability>> entries = entriesOf(*list);
        if (!entries) {
            return entries.problem();
        }
        SetFibreSettings set{settingsOf(session.study()->fibre)};
        set.settings.repeatability = std::move(entries).value();
        return session.changeAs({set}, ReasonDialog::tr("change of the repeatability"), author);
    };
    auto* dialog = new ReasonDialog(session, QStringLiteral("repeatability"), words, act, parent);
    dialog->addForm(list);
    dialog->open();
}

}  // namespace aftercurve
