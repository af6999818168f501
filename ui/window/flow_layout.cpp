#include "ui/window/flow_layout.h"

#include <algorithm>

namespace aftercurve {

FlowLayout::FlowLayout(QWidget* parent, int gapAcross, int gapDown)
    : QLayout(parent), gapAcross_(gapAcross), gapDown_(gapDown) {
    setContentsMargins(0, 0, 0, 0);
}

FlowLayout::~FlowLayout() {
    qDeleteAll(items_);
}

void FlowLayout::addItem(QLayoutItem* item) {
    items_.append(item);
}

QLayoutItem* FlowLayout::itemAt(int index) const {
    return items_.value(index);
}

QLayoutItem* FlowLayout::takeAt(int index) {
    return index >= 0 && index < items_.size() ? items_.takeAt(index) : nullptr;
}

int FlowLayout::heightForWidth(int width) const {
    return arrange(QRect(0, 0, width, 0), false);
}

QSize FlowLayout::sizeHint() const {
    int width = 0;
    for (const QLayoutItem* item : items_) {
        width += item->isEmpty() ? 0 : item->sizeHint().width() + gapAcross_;
    }
    return {width, minimumSize().height()};
}

QSize FlowLayout::minimumSize() const {
    QSize size;
    for (const QLayoutItem* item : items_) {
        size = item->isEmpty() ? size : size.expandedTo(item->minimumSize());
    }
    return size;
}

void FlowLayout::setGeometry(const QRect& rect) {
    QLayout::setGeometry(rect);
    arrange(rect, true);
}

int FlowLayout::arrange(const QRect& rect, bool place) const {
    int x = rect.x();
    int y = rect.y();
    int lineHeight = 0;
    for (QLayoutItem* item : items_) {
        if (item->isEmpty()) {
            continue;
        }
        const QSize wanted = item->sizeHint();
        if (x > rect.x() && x + wanted.width() > rect.x() + rect.width()) {
            x = rect.x();
            y += lineHeight + gapDown_;
            lineHeight = 0;
        }
        if (place) {
            item->setGeometry(QRect(x, y, std::min(wanted.width(), rect.width()), wanted.height()));
        }
        x += wanted.width() + gapAcross_;
        lineHeight = std::max(lineHeight, wanted.height());
    }
    return y + lineHeight - rect.y();
}

}  // namespace aftercurve
