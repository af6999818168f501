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
    int y = rect.y();
    for (int first = 0; first < count();) {
        // A line: items from `first` to before `end`, as many as fit and at least one.
        int end = first;
        int width = 0;
        int height = 0;
        for (; end < count(); ++end) {
            if (items_[end]->isEmpty()) {
                continue;
            }
            const QSize wanted = items_[end]->sizeHint();
            if (width > 0 && width + wanted.width() > rect.width()) {
                break;
            }
            width += wanted.width() + gapAcross_;
            height = std::max(height, wanted.height());
        }
        int x = rect.x();
        for (; place && first < end; ++first) {
            if (!items_[first]->isEmpty()) {
                const QSize wanted = items_[first]->sizeHint();
                const int down = (height - wanted.height()) / 2;
                items_[first]->setGeometry(
                    QRect(x, y + down, std::min(wanted.width(), rect.width()), wanted.height()));
                x += wanted.width() + gapAcross_;
            }
        }
        first = end;
        y += height + gapDown_;
    }
    return std::max(0, y - gapDown_ - rect.y());
}

}  // namespace aftercurve
