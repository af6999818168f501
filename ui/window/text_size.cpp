#include "ui/window/text_size.h"

#include <QHeaderView>
#include <QTableView>
#include <QWidget>

#include "ui/window/result_view.h"

namespace aftercurve {

namespace {

void scale(QWidget& widget, double ratio) {
    QFont font = widget.font();
    font.setPointSizeF(font.pointSizeF() * ratio);
    widget.setFont(font);
}

}  // namespace

void scaleText(QWidget& window, double ratio) {
    // Fonts are inherited, except where a widget has one of its own (headings, the sentence); those are found
    // first, because setting the window's font changes what the others say.
    QList<QWidget*> own;
    for (QWidget* widget : window.findChildren<QWidget*>()) {
        if ((widget->font().resolveMask() & QFont::SizeResolved) != 0 &&
            widget->testAttribute(Qt::WA_SetFont)) {
            own << widget;
        }
    }
    scale(window, ratio);
    for (QWidget* widget : own) {
        scale(*widget, ratio);
    }
    for (QTableView* table : window.findChildren<QTableView*>()) {
        table->verticalHeader()->setDefaultSectionSize(table->fontMetrics().height() * 3 / 2);
        fitColumns(*table);
    }
}

}  // namespace aftercurve
