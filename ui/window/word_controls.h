#pragma once

#include <QComboBox>
#include <QDoubleSpinBox>
#include <QToolButton>

namespace aftercurve {

/// A choice set as a word in a sentence: as wide as the word chosen, underlined, with a small mark that it
/// opens.
class WordChoice : public QComboBox {
    Q_OBJECT

  public:
    explicit WordChoice(QWidget* parent = nullptr);

    QSize sizeHint() const override;
    QSize minimumSizeHint() const override { return sizeHint(); }
    void showPopup() override;

  protected:
    void paintEvent(QPaintEvent* event) override;
    void wheelEvent(QWheelEvent* event) override;
    bool event(QEvent* event) override;
};

/// A button that opens a menu, set as a word likewise.
class WordMenu : public QToolButton {
    Q_OBJECT

  public:
    explicit WordMenu(QWidget* parent = nullptr);

    QSize sizeHint() const override;
    QSize minimumSizeHint() const override { return sizeHint(); }

  protected:
    void paintEvent(QPaintEvent* event) override;
};

/// A number that may be typed with a decimal point or a decimal comma, shown without idle zeros.
class NumberBox : public QDoubleSpinBox {
    Q_OBJECT

  public:
    explicit NumberBox(QWidget* parent = nullptr);

    QSize sizeHint() const override;
    QSize minimumSizeHint() const override { return sizeHint(); }
    QString textFromValue(double value) const override;
    double valueFromText(const QString& text) const override;
    QValidator::State validate(QString& text, int& position) const override;

  protected:
    void wheelEvent(QWheelEvent* event) override;
};

}  // namespace aftercurve
