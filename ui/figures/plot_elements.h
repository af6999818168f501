#pragma once

#include <QString>
#include <vector>

#include "ui/figures/figure_look.h"

namespace aftercurve {

/// A line or block of text in a plot's layout; wraps at the figure's width, or stands upright.
class TextBlock : public QCPLayoutElement {
  public:
    enum class Turn { level, upright };

    TextBlock(QCustomPlot* plot, const QString& text, const QFont& font, const QColor& colour,
              Turn turn = Turn::level, Qt::Alignment alignment = Qt::AlignCenter);

    QString text() const { return text_; }
    void setText(const QString& text) { text_ = text; }
    /// More room beside an upright text, for tick labels that reach out of their panel.
    void setRoomAfter(int pixels) { roomAfter_ = pixels; }

    QSize minimumOuterSizeHint() const override;

  protected:
    void draw(QCPPainter* painter) override;

  private:
    QString lines() const;

    QString text_;
    QFont font_;
    QColor colour_;
    Turn turn_;
    Qt::Alignment alignment_;
    int roomAfter_ = 0;
};

/// One entry of a key: a stretch of line, a mark, or a filled patch, and its text.
struct KeyEntry {
    QString text;
    QPen pen = Qt::NoPen;
    QCPScatterStyle mark;
    QBrush patch = Qt::NoBrush;
    bool hatched = false;
};

/// The key of a figure, above its panels so that it never lies over data; entries flow into as many lines as
/// the width asks for. In a panel (the dynamic property `stackedKeyProperty`) they stand one below the other
/// on a white ground, and the key keeps inside the panel.
inline constexpr const char* stackedKeyProperty = "aftercurveStacked";

class FigureKey : public QCPLayoutElement {
  public:
    FigureKey(QCustomPlot* plot, const FigureLook& look, std::vector<KeyEntry> entries);

    const std::vector<KeyEntry>& entries() const { return entries_; }

    QSize minimumOuterSizeHint() const override;

  protected:
    void draw(QCPPainter* painter) override;

  private:
    struct Place {
        double x = 0.0;
        int row = 0;
    };
    std::vector<Place> places() const;
    bool stacked() const;
    double rowHeight() const;
    double textOffset(const KeyEntry& entry) const;

    FigureLook look_;
    std::vector<KeyEntry> entries_;
};

/// Each line of the text broken at spaces into lines of at most `pixels` (a longer word is broken after its
/// hyphens, and stays whole without one).
QString wrapped(const QString& text, const QFont& font, double pixels);

/// Ticks at steps of 1, 2 or 5; labels with the decimal mark of the figure's language and a real minus sign,
/// whatever the plot's locale is. The factor shows values in another unit: steps and labels are those of
/// value · factor. Make it inside a FigureScope: labels are made when the plot is painted, and it keeps the
/// decimal mark.
class FigureTicker : public QCPAxisTicker {
  public:
    FigureTicker();
    void setFactor(double factor) { factor_ = factor; }

  protected:
    double getTickStep(const QCPRange& range) override;
    QString getTickLabel(double tick, const QLocale& locale, QChar formatChar, int precision) override;

  private:
    double step_ = 1.0;
    double factor_ = 1.0;
    bool comma_ = false;
};

/// Steps of minutes: 10, 15, 30, 60 ... so that there are at most `most` in the range shown.
class MinuteTicker : public QCPAxisTicker {
  public:
    explicit MinuteTicker(int most);

  protected:
    double getTickStep(const QCPRange& range) override;
    QString getTickLabel(double tick, const QLocale& locale, QChar formatChar, int precision) override;

  private:
    int most_;
    double step_ = 1.0;
    bool comma_ = false;
};

}  // namespace aftercurve
