// Figures of a manuscript composed as a person would: list, form, panels, foods, undo, saving.
#include <QAction>
#include <QCheckBox>
#include <QComboBox>
#include <QFile>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QTabWidget>
#include <QTest>

#include "core/figure/figure_check.h"
#include "tests/ui/window/window_fixture.h"
#include "ui/figures/default_figures.h"
#include "ui/window/figures/figure_canvas.h"
#include "ui/window/pages/page.h"

namespace aftercurve::test {

namespace {

class FiguresPageTest : public WindowTest {
  protected:
    void SetUp() override {
        openSample(QStringLiteral("barley-index"));
        window_->setStep(Step::figures);
    }

    const std::vector<FigureSpec>& figures() { return window_->session().study()->figures; }
    const FigureSpec& figure(std::size_t at = 0) { return figures().at(at); }

    void add(const char* kind) { find<QAction>((QByteArray("figures.kinds.") + kind).constData()).trigger(); }
    void showForm(int tab) {
        find<QTabWidget>("figures.forms").setCurrentIndex(tab);
        QCoreApplication::processEvents();
    }
    /// Types into a field in place of what stands there.
    void enter(const char* name, const QString& text) {
        auto& edit = find<QLineEdit>(name);
        edit.setFocus();
        edit.selectAll();
        if (text.isEmpty()) {
            QTest::keyClick(&edit, Qt::Key_Delete);
        }
        QTest::keyClicks(&edit, text);
    }
    void choose(const char* name, const char* word) {
        auto& box = find<QComboBox>(name);
        const int at = box.findData(QLatin1String(word));
        ASSERT_GE(at, 0) << name << " " << word;
        box.setCurrentIndex(at);
    }
    bool complains(const char* name) {
        const auto& label = find<QLabel>((QByteArray(name) + ".complaint").constData());
        return !label.isHidden() && !label.text().isEmpty();
    }
    int steps() { return window_->session().undoStack().count(); }
};

constexpr int panelTab = 1;
constexpr int foodsTab = 2;

}  // namespace

TEST_F(FiguresPageTest, AnEmptyPageSaysWhatToDoAndTakesTheDefaults) {
    auto& defaults = find<QPushButton>("figures.defaults");
    ASSERT_TRUE(defaults.isVisible());
    EXPECT_FALSE(find<QAction>("action.exportFigure").isEnabled());
    press("figures.defaults");
    const auto results = window_->session().results();
    EXPECT_EQ(figures().size(), defaultFigures(*results->study, results->findings).size());
    EXPECT_EQ(find<QListWidget>("figures.list").count(), static_cast<int>(figures().size()));
    EXPECT_TRUE(validate(figures()).empty());
    EXPECT_FALSE(defaults.isVisible());
    EXPECT_TRUE(window_->session().isModified());
    EXPECT_TRUE(find<QAction>("action.exportFigure").isEnabled());
    EXPECT_TRUE(window_->session().resultsAreCurrent()) << "no number hangs on a figure";
    trigger("action.undo");
    EXPECT_TRUE(figures().empty());
    EXPECT_FALSE(window_->session().isModified());
    EXPECT_TRUE(defaults.isVisible());
}

TEST_F(FiguresPageTest, TypingATitleIsOneStepThatIsTakenBack) {
    add("curves_mean");
    ASSERT_EQ(figures().size(), 1U);
    EXPECT_EQ(figure().panels.front().kind, "curves_mean");
    enter("figures.title", QStringLiteral("Glucose after barley"));
    EXPECT_EQ(figure().title, "Glucose after barley");
    EXPECT_EQ(steps(), 2) << "the figure, and the title as a whole";
    EXPECT_TRUE(
        find<QListWidget>("figures.list").item(0)->text().contains(QStringLiteral("Glucose after barley")));
    trigger("action.undo");
    EXPECT_EQ(figure().title, "");
    EXPECT_EQ(find<QLineEdit>("figures.title").text(), QString());
    trigger("action.redo");
    EXPECT_EQ(find<QLineEdit>("figures.title").text(), QStringLiteral("Glucose after barley"));
}

TEST_F(FiguresPageTest, ABadValueStandsBesideItsFieldAndIsNotTaken) {
    add("curves_mean");
    const double width = figure().style.widthMm;
    enter("figures.width", QStringLiteral("7"));
    EXPECT_EQ(figure().style.widthMm, width);
    EXPECT_TRUE(complains("figures.width"));
    EXPECT_FALSE(complains("figures.height"));
    enter("figures.width", QStringLiteral("wide"));
    EXPECT_TRUE(complains("figures.width"));
    EXPECT_EQ(figure().style.widthMm, width);
    enter("figures.width", QStringLiteral("92,5"));
    EXPECT_EQ(figure().style.widthMm, 92.5);
    EXPECT_FALSE(complains("figures.width"));
    EXPECT_EQ(find<QComboBox>("figures.preset").currentData().toString(), QStringLiteral("own"));
    choose("figures.preset", "85");
    EXPECT_EQ(figure().style.widthMm, 85.0);
    EXPECT_EQ(find<QLineEdit>("figures.width").text(), QStringLiteral("85"));

    showForm(panelTab);
    enter("figures.panel.yLow", QStringLiteral("9"));
    enter("figures.panel.yHigh", QStringLiteral("4"));
    EXPECT_TRUE(complains("figures.panel.yHigh"));
    EXPECT_EQ(figure().panels.front().frame.y.high, std::nullopt);
    enter("figures.panel.yHigh", QStringLiteral("12"));
    EXPECT_EQ(figure().panels.front().frame.y.high, 12.0);

    add("curves_mean");
    showForm(0);
    enter("figures.id", QString::fromStdString(figure().id));
    EXPECT_TRUE(complains("figures.id")) << "two figures would write the same file";
}

TEST_F(FiguresPageTest, PanelsAreAddedMovedAndRemoved) {
    add("curves_mean");
    showForm(panelTab);
    press("figures.panels.add");
    ASSERT_EQ(figure().panels.size(), 2U);
    EXPECT_EQ(figure().columns, 2);
    EXPECT_EQ(find<QComboBox>("figures.panels").currentIndex(), 1);
    choose("figures.panel.kind", "curves_increment");
    EXPECT_EQ(figure().panels[0].kind, "curves_mean");
    EXPECT_EQ(figure().panels[1].kind, "curves_increment");
    enter("figures.panel.title", QStringLiteral("After the drink"));
    EXPECT_EQ(figure().panels[1].frame.title, "After the drink");
    choose("figures.panel.spread", "sd");
    find<QCheckBox>("figures.panel.showKey").setChecked(false);
    EXPECT_FALSE(figure().panels[1].frame.showKey);
    press("figures.panels.earlier");
    EXPECT_EQ(figure().panels[0].kind, "curves_increment");
    EXPECT_EQ(find<QComboBox>("figures.panels").currentIndex(), 0);
    press("figures.panels.remove");
    ASSERT_EQ(figure().panels.size(), 1U);
    EXPECT_EQ(figure().panels[0].kind, "curves_mean");
    EXPECT_FALSE(find<QPushButton>("figures.panels.remove").isEnabled()) << "a figure has a panel";
}

TEST_F(FiguresPageTest, FoodsTakeAColourOfTheirOwn) {
    add("curves_mean");
    showForm(foodsTab);
    const std::string food = window_->session().study()->foods.front().id;
    const QByteArray stem = "figures.food." + QByteArray::fromStdString(food) + '.';
    enter((stem + "colour").constData(), QStringLiteral("red"));
    EXPECT_TRUE(figure().style.foods.empty());
    EXPECT_FALSE(find<QLabel>((stem + "complaint").constData()).isHidden());
    enter((stem + "colour").constData(), QStringLiteral("#AA3300"));
    ASSERT_EQ(figure().style.foods.size(), 1U);
    EXPECT_EQ(figure().style.foods[0].colour, "#aa3300");
    enter((stem + "label").constData(), QStringLiteral("Drink"));
    choose((stem + "mark").constData(), "open-square");
    choose((stem + "dash").constData(), "dotted");
    EXPECT_EQ(figure().style.foods[0], (FoodAppearance{food, "Drink", "#aa3300", "open-square", "dotted"}));
    for (const char* field : {"colour", "label"}) {
        enter((stem + field).constData(), QString());
    }
    choose((stem + "mark").constData(), "");
    choose((stem + "dash").constData(), "");
    EXPECT_TRUE(figure().style.foods.empty()) << "a food that is drawn as everywhere needs no entry";
}

TEST_F(FiguresPageTest, TheListIsReordered) {
    add("curves_mean");
    add("comparison_paired");
    EXPECT_EQ(find<QListWidget>("figures.list").currentRow(), 1);
    press("figures.up");
    EXPECT_EQ(figure(0).panels[0].kind, "comparison_paired");
    EXPECT_EQ(find<QListWidget>("figures.list").currentRow(), 0);
    press("figures.duplicate");
    ASSERT_EQ(figures().size(), 3U);
    EXPECT_EQ(figure(1).panels, figure(0).panels);
    EXPECT_NE(figure(1).id, figure(0).id);
    EXPECT_EQ(find<QListWidget>("figures.list").currentRow(), 1);
    press("figures.remove");
    EXPECT_EQ(figures().size(), 2U);
    press("figures.remove");
    EXPECT_EQ(figures().size(), 1U);
    trigger("action.undo");
    EXPECT_EQ(figures().size(), 2U);
}

TEST_F(FiguresPageTest, AreSavedWithTheStudyAndReadAgain) {
    add("curves_mean");
    enter("figures.title", QStringLiteral("Kept"));
    find<QPlainTextEdit>("figures.caption").setPlainText(QStringLiteral("Two lines\nof a caption"));
    const std::vector<FigureSpec> made = figures();
    trigger("action.save");
    ASSERT_TRUE(waitUntil([&] { return !window_->session().isModified(); }));
    open(window_->session().folder());
    EXPECT_EQ(figures(), made);
    EXPECT_TRUE(window_->session().unsavedChanges().empty());
}

}  // namespace aftercurve::test
