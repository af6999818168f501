// Facts of a study that no sample shows, and the way from a number to its curves, driven as a person would.
#include <QAbstractButton>
#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QRadioButton>
#include <QTabWidget>
#include <QTableWidget>
#include <QTest>

#include "tests/ui/window/window_fixture.h"
#include "ui/window/pages/page.h"
#include "ui/window/result_view.h"
#include "ui/window/statistics/working_panel.h"

namespace aftercurve::test {

namespace {

class Facts : public WindowTest {
  protected:
    void SetUp() override {
        openSample(QStringLiteral("barley-index"));
        window_->show();
        window_->setStep(Step::study);
    }

    void showTable(int tab) {
        find<QTabWidget>("study.tables").setCurrentIndex(tab);
        QCoreApplication::processEvents();
    }

    void giveReason(const char* form) {
        WindowTest::giveReason(QLatin1String(form), QStringLiteral("from the protocol"));
    }

    const Study& study() { return *window_->session().study(); }
};

constexpr int partsTab = 5;
constexpr int conductTab = 6;

}  // namespace

TEST_F(Facts, HowItWasRunIsStatedAndTakenBack) {
    showTable(conductTab);
    enter("conduct.population", QStringLiteral("healthy adults"));
    EXPECT_TRUE(study().conduct.population.empty()) << "a change needs a reason";
    EXPECT_TRUE(find<QLabel>("conduct.words").isVisible());
    giveReason("conduct");
    enter("conduct.population", QStringLiteral("healthy adults, 20 to 45 years"));
    EXPECT_EQ(study().conduct.population, "healthy adults, 20 to 45 years");
    find<QComboBox>("conduct.randomised").setCurrentIndex(1);
    EXPECT_EQ(study().conduct.randomised, true);
    enter("conduct.fast_hours", QStringLiteral("10,5"));
    EXPECT_EQ(study().conduct.fastHours, 10.5);
    enter("conduct.analyser_cv_percent", QStringLiteral("little"));
    EXPECT_EQ(study().conduct.analyserCvPercent, std::nullopt);
    EXPECT_TRUE(find<QLabel>("conduct.words").text().contains(QStringLiteral("is no number")));
    trigger("action.undo");
    EXPECT_EQ(study().conduct.fastHours, std::nullopt);
    trigger("action.undo");
    EXPECT_EQ(study().conduct.randomised, std::nullopt);
    EXPECT_EQ(find<QComboBox>("conduct.randomised").currentIndex(), 0);
}

TEST_F(Facts, PartsOfAMealAreAddedAndRemoved) {
    showTable(partsTab);
    giveReason("parts");
    auto& foods = find<QComboBox>("parts.food");
    foods.setCurrentIndex(foods.findData(QStringLiteral("pearled-porridge")));
    auto& table = find<QTableWidget>("parts.table");
    EXPECT_EQ(table.rowCount(), 0);
    const auto parts = [this] { return study().foods[1].parts; };
    press("parts.add");
    table.item(0, 0)->setText(QStringLiteral("Barley"));
    table.item(0, 1)->setText(QStringLiteral("40"));
    EXPECT_TRUE(parts().empty()) << "its index is missing";
    table.item(0, 2)->setText(QStringLiteral("28,5"));
    ASSERT_EQ(parts().size(), 1U);
    EXPECT_EQ(parts()[0], (MealPart{"Barley", 40.0, 28.5, IndexScale::glucose, ""}));
    static_cast<QComboBox*>(table.cellWidget(0, 3))->setCurrentIndex(1);
    EXPECT_EQ(parts()[0].scale, IndexScale::whiteBread);
    table.setCurrentCell(0, 0);
    press("parts.remove");
    EXPECT_TRUE(parts().empty());
    trigger("action.undo");
    ASSERT_EQ(parts().size(), 1U);
    EXPECT_EQ(find<QTableWidget>("parts.table").rowCount(), 1);
}

TEST_F(Facts, ANumberLeadsToItsCurves) {
    ASSERT_TRUE(waitForResults());
    ASSERT_TRUE(window_->showTab(QStringLiteral("index")));
    EXPECT_TRUE(window_->page(Step::index).isVisible());
    auto& index = find<ResultView>("table.index");
    index.selectTableRow(1);
    const RowSubject about = index.table()->rows[1].about;
    ASSERT_FALSE(about.food.empty());
    press("index.showCurves");
    EXPECT_TRUE(window_->page(Step::curves).isVisible());
    EXPECT_EQ(find<QComboBox>("curves.food").currentData().toString().toStdString(), about.food);
    EXPECT_TRUE(find<QRadioButton>("curves.each").isChecked());

    ASSERT_TRUE(window_->showTab(QStringLiteral("index")));
    find<QAbstractButton>("index.showDetail").click();
    auto& subjects = find<ResultView>("index.detail");
    ASSERT_TRUE(subjects.isVisible());
    subjects.setCurrentIndex(subjects.model()->index(2, 2));
    const RowSubject one = subjects.table()->rows[static_cast<std::size_t>(subjects.currentTableRow())].about;
    subjects.setFocus();
    QTest::keyClick(&subjects, Qt::Key_Return);
    EXPECT_TRUE(window_->page(Step::curves).isVisible());
    EXPECT_TRUE(find<QRadioButton>("curves.increment").isChecked());
    EXPECT_EQ(find<QComboBox>("curves.subject").currentData().toString().toStdString(), one.subject);
    EXPECT_EQ(find<QComboBox>("curves.food").currentData().toString().toStdString(), one.food);
}

}  // namespace aftercurve::test
