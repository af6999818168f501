#pragma once

#include <QWidget>
#include <span>
#include <string>

#include "core/figure/figure_spec.h"
#include "ui/window/results.h"

class QListWidget;
class QMenu;
class QPushButton;
class QToolButton;

namespace aftercurve {

/// The figures of the manuscript in their order, and what can be done with the list.
class FigureListPanel : public QWidget {
    Q_OBJECT

  public:
    explicit FigureListPanel(QWidget* parent);

    /// Shows the list; `chosen` below 0: none.
    void showFigures(std::span<const FigureSpec> figures, const Study& study, int chosen, bool editable);
    /// The kinds that there are data for; null: none yet.
    void setResults(std::shared_ptr<const Results> results);

  Q_SIGNALS:
    void chosen(int figure);
    void addWanted(const std::string& kind);
    void defaultsWanted();
    void duplicateWanted();
    void removeWanted();
    void moveWanted(int by);
    void saveWanted();
    void loadWanted();

  private:
    QPushButton* button(const QString& text, const char* name, const QString& tip);
    void fillMenu();
    void enable();

    QListWidget* list_;
    QToolButton* add_;
    QMenu* kinds_;
    QPushButton* duplicate_;
    QPushButton* remove_;
    QPushButton* up_;
    QPushButton* down_;
    QPushButton* save_;
    QPushButton* load_;
    std::shared_ptr<const Results> results_;
    bool editable_ = false;
};

}  // namespace aftercurve
