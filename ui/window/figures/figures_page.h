#pragma once

#include <functional>

#include "ui/window/pages/page.h"
#include "ui/window/window_setup.h"

class QComboBox;
class QLabel;
class QPushButton;
class QScrollArea;
class QStackedWidget;
class QTabWidget;
class QToolButton;

namespace aftercurve {

class FigureCanvas;
class FigureFields;
class FigureListPanel;
class FoodLooks;

/// Where the figures of a manuscript are composed: the list of them, the one that is chosen as it will be
/// printed, and what it is drawn with. Every change is a step that can be undone.
class FiguresPage : public Page {
    Q_OBJECT

  public:
    FiguresPage(Session& session, const WindowSetup& setup, QWidget* parent);

    /// True where there is a figure to export or to copy.
    bool hasComposed() const;
    /// Opens the dialog for the figure that is shown, or for all.
    void exportFigures(bool all);
    void copyComposed();

  Q_SIGNALS:
    /// For the status bar.
    void told(const QString& words);
    void choiceChanged();

  protected:
    bool eventFilter(QObject* watched, QEvent* event) override;
    void showEvent(QShowEvent* event) override;

  private:
    using Edit = std::function<void(std::vector<FigureSpec>&)>;

    void build();
    QWidget* buildMiddle(QWidget* parent);
    QWidget* buildTools(QWidget* parent);
    QWidget* buildForms(QWidget* parent);
    QWidget* buildPanelTab(QWidget* parent);
    QWidget* buildEmpty(QWidget* parent);
    QToolButton* tool(const QString& text, const char* name, const QString& tip, QWidget* parent);
    void connectList();

    const std::vector<FigureSpec>& figures() const;
    std::vector<Problem> wrongWith(const FigureSpec& figure) const;
    bool edit(const QString& name, const QString& part, const Edit& change);
    void editPanels(const QString& name, const std::function<void(FigureSpec&)>& change);
    void put(const FigureSpec& figure, const QString& key);
    void choose(int figure);
    void choosePanel(std::size_t panel);
    void showAll();
    void showStudy();
    void showFigures();
    void keepChoice();
    void showPanels(const FigureSpec& figure, bool editable);
    void showProblem(const QString& words);
    void takeDefaults();
    void saveFile();
    void loadFile();

    const WindowSetup& setup_;
    bool stale_ = true;  ///< something changed while the page was not seen
    FigureListPanel* list_;
    FigureCanvas* canvas_;
    QScrollArea* scroll_ = nullptr;
    QComboBox* zoom_ = nullptr;
    QToolButton* placeKey_ = nullptr;
    QToolButton* export_ = nullptr;
    QToolButton* exportAll_ = nullptr;
    QToolButton* copy_ = nullptr;
    QLabel* problem_ = nullptr;
    QStackedWidget* middle_ = nullptr;  ///< the figure, or words where there is none
    QPushButton* defaults_ = nullptr;
    EmptyNotice* notice_ = nullptr;
    QTabWidget* forms_ = nullptr;
    FigureFields* figureForm_ = nullptr;
    FigureFields* panelForm_ = nullptr;
    FoodLooks* foods_ = nullptr;
    QComboBox* panels_ = nullptr;
    QPushButton* addPanel_ = nullptr;
    QPushButton* removePanel_ = nullptr;
    QPushButton* earlier_ = nullptr;
    QPushButton* later_ = nullptr;
    int chosen_ = -1;
    std::size_t panel_ = 0;
};

}  // namespace aftercurve
