#pragma once

#include <QTimer>
#include <QWidget>
#include <memory>

#include "ui/figures/figure.h"
#include "ui/window/results.h"

class QCustomPlot;
class QLabel;
class QStackedLayout;

namespace aftercurve {

/// A figure in the window. It is drawn when it is first seen, so figures on pages that nobody opens cost
/// nothing.
class FigureView : public QWidget {
    Q_OBJECT

  public:
    explicit FigureView(QWidget* parent = nullptr);

    void showFigure(std::shared_ptr<const Results> results, std::string_view kind,
                    const FigureChoice& choice);
    /// Words in place of a figure.
    void showWords(const QString& words);

    /// True where there is a figure to export or to copy.
    bool hasFigure() const { return figure_ != nullptr; }
    const FigureKind& kind() const { return *figure_; }
    const FigureChoice& choice() const { return choice_; }
    std::shared_ptr<const Results> results() const { return results_; }
    bool isDrawn() const { return drawn_; }

  Q_SIGNALS:
    void drawn();

  protected:
    void showEvent(QShowEvent* event) override;
    void changeEvent(QEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;

  private:
    void drawIfSeen();
    void drawAnew();

    QStackedLayout* stack_;
    QCustomPlot* plot_;
    QLabel* words_;
    std::shared_ptr<const Results> results_;
    const FigureKind* figure_ = nullptr;
    FigureChoice choice_;
    bool drawn_ = false;
    QTimer resized_;  ///< words are broken to the figure's size, so it is drawn anew when the size rests
};

}  // namespace aftercurve
