#pragma once

#include <QLayout>
#include <QList>
#include <memory>

namespace aftercurve {

/// Sets its widgets like words in a line of text: from left to right, on to the next line where one does not
/// fit.
class FlowLayout : public QLayout {
    Q_OBJECT

  public:
    explicit FlowLayout(QWidget* parent, int gapAcross, int gapDown);
    ~FlowLayout() override;

    void addItem(QLayoutItem* item) override;
    int count() const override { return static_cast<int>(items_.size()); }
    QLayoutItem* itemAt(int index) const override;
    QLayoutItem* takeAt(int index) override;
    Qt::Orientations expandingDirections() const override { return {}; }
    bool hasHeightForWidth() const override { return true; }
    int heightForWidth(int width) const override;
    QSize sizeHint() const override;
    QSize minimumSize() const override;
    void setGeometry(const QRect& rect) override;

  private:
    int arrange(const QRect& rect, bool place) const;

    QList<QLayoutItem*> items_;
    int gapAcross_;
    int gapDown_;
};

}  // namespace aftercurve
