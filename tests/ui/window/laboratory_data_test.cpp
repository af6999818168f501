// The tables of the laboratory and of the diaries, edited as a person would.
#include <QAction>
#include <QApplication>
#include <QClipboard>
#include <QComboBox>
#include <QDialog>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QTabWidget>
#include <QTest>

#include "core/files/study_folder.h"
#include "core/study/laboratory_exclusion.h"
#include "tests/ui/window/window_fixture.h"
#include "ui/models/data_model.h"
#include "ui/window/pages/page.h"
#include "ui/window/pages/problems_page.h"
#include "ui/window/result_view.h"

namespace aftercurve::test {

namespace {

/// The study with everything, open for editing by "KM".
class LaboratoryData : public WindowTest {
  protected:
    void openCrisps() {
        openSample(QStringLiteral("kelp-barley-crisps"));
        showTable("laboratoryData", "data.assays");
    }

    void showTable(const char* tab, const char* stem) {
        ASSERT_TRUE(window_->showTab(QLatin1String(tab)));
        auto& tabs = find<QTabWidget>((QByteArray(tab) + ".tables").constData());
        for (int i = 0; i < tabs.count(); ++i) {
            if (tabs.widget(i)->findChild<QTableView*>(QLatin1String(stem) + QStringLiteral(".view"))) {
                tabs.setCurrentIndex(i);
            }
        }
        QApplication::processEvents();
    }

    QTableView& view(const char* stem) { return find<QTableView>((QByteArray(stem) + ".view").constData()); }
    DataModel& model(const char* stem) { return *static_cast<DataModel*>(view(stem).model()); }
    QModelIndex at(const char* stem, int row, const char* column) {
        return model(stem).index(row, model(stem).columnNamed(column).value());
    }
    QString text(const char* stem, int row, const char* column) {
        return at(stem, row, column).data(Qt::EditRole).toString();
    }

    /// The first reading of a sample at 20 min: it makes the rapid fraction.
    int rapidReading() {
        const auto& readings = study().assays.readings;
        for (std::size_t i = 0; i < readings.size(); ++i) {
            if (readings[i].sample == "high-dose-crisp" && readings[i].timeMin == 20.0) {
                return static_cast<int>(i);
            }
        }
        return -1;
    }

    void chooseInMenu(const char* stem, const QModelIndex& cell, const char* action) {
        view(stem).setCurrentIndex(cell);
        view(stem).scrollTo(cell);
        Q_EMIT view(stem).customContextMenuRequested(view(stem).visualRect(cell).center());
        find<QAction>(action).trigger();
    }

    void exclude(const QString& reason) {
        QTest::keyClicks(&find<QLineEdit>("exclude.reason"), reason);
        find<QLineEdit>("exclude.by").setText(QStringLiteral("KM"));
        press("exclude.go");
    }

    const Study& study() { return *window_->session().study(); }
    std::filesystem::path folder() { return window_->session().folder().toStdString(); }
};

}  // namespace

TEST_F(LaboratoryData, AReadingIsChangedAndTheFractionsFollow) {
    openCrisps();
    const std::string before = textOf("digestion_fractions");
    const int row = rapidReading();
    ASSERT_GE(row, 0);
    typeInto(view("data.assays"), at("data.assays", row, "value"), QStringLiteral("150"));
    EXPECT_NE(text("data.assays", row, "value"), QStringLiteral("150")) << "a change needs a reason";
    EXPECT_TRUE(find<QLabel>("data.assays.words").text().contains(QStringLiteral("Not changed")));
    giveReason(QStringLiteral("data.assays"), QStringLiteral("read from the sheet again"));
    typeInto(view("data.assays"), at("data.assays", row, "value"), QStringLiteral("150"));
    EXPECT_EQ(study().assays.readings[static_cast<std::size_t>(row)].value, 150.0);
    ASSERT_TRUE(waitForResults());
    EXPECT_NE(textOf("digestion_fractions"), before);
    ASSERT_EQ(window_->session().unsavedChanges().size(), 1U);
    EXPECT_EQ(window_->session().unsavedChanges()[0].to, "150");
    trigger("action.undo");
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(textOf("digestion_fractions"), before);
    EXPECT_FALSE(window_->session().isModified());
}

TEST_F(LaboratoryData, WhatDoesNotFitIsRefusedAndAnUnusableValueIsMarked) {
    openCrisps();
    giveReason(QStringLiteral("data.assays"), QStringLiteral("test"));
    const int row = rapidReading();
    typeInto(view("data.assays"), at("data.assays", row, "sample"), QStringLiteral("oat"));
    EXPECT_EQ(text("data.assays", row, "sample"), QStringLiteral("high-dose-crisp"));
    typeInto(view("data.assays"), at("data.assays", row, "time_min"), QStringLiteral("-5"));
    EXPECT_FALSE(window_->session().isModified());
    typeInto(view("data.assays"), at("data.assays", row, "value"), QStringLiteral("spilt"));
    const QModelIndex status = model("data.assays").index(row, model("data.assays").columnCount() - 1);
    EXPECT_TRUE(status.data().toString().contains(QStringLiteral("not usable")));
}

TEST_F(LaboratoryData, ARowOfTheDiaryIsAskedForInAForm) {
    openCrisps();
    showTable("diaryData", "data.diary");
    const std::size_t before = study().diary.days.size();
    const DiaryDay last = study().diary.days.back();
    view("data.diary").setCurrentIndex(at("data.diary", static_cast<int>(before) - 1, "subject"));
    find<QAction>("data.diary.add").trigger();
    EXPECT_EQ(find<QComboBox>("row.subject").currentText().toStdString(), last.subject);
    EXPECT_EQ(find<QLineEdit>("row.day").text(), QString::number(last.day + 1));
    find<QLineEdit>("row.day").setText(QString::number(last.day));
    find<QLineEdit>("row.bloating").setText(QStringLiteral("1"));
    find<QLineEdit>("row.reason").setText(QStringLiteral("from the paper diary"));
    find<QLineEdit>("row.by").setText(QStringLiteral("KM"));
    press("row.go");
    EXPECT_EQ(study().diary.days.size(), before) << "that day is there already";
    EXPECT_TRUE(find<QDialog>("rowDialog").isVisible());
    find<QLineEdit>("row.day").setText(QString::number(last.day + 1));
    press("row.go");
    ASSERT_EQ(study().diary.days.size(), before + 1);
    EXPECT_EQ(study().diary.days.back().day, last.day + 1);
    EXPECT_EQ(study().diary.days.back().scores[0], 1);
    EXPECT_EQ(window_->session().authorship().why, QStringLiteral("from the paper diary"));
    ASSERT_TRUE(waitForResults());
    trigger("action.undo");
    EXPECT_EQ(study().diary.days.size(), before);
}

TEST_F(LaboratoryData, ABlockIsPastedOverCellsAndAsNewRows) {
    openCrisps();
    giveReason(QStringLiteral("data.assays"), QStringLiteral("third run"));
    const QString first = text("data.assays", 0, "value");
    QGuiApplication::clipboard()->setText(QStringLiteral("2,1\n2,2\n"));
    view("data.assays").setCurrentIndex(at("data.assays", 0, "value"));
    find<QAction>("data.assays.paste").trigger();
    EXPECT_EQ(text("data.assays", 0, "value"), QStringLiteral("2.1"));
    EXPECT_EQ(text("data.assays", 1, "value"), QStringLiteral("2.2"));
    trigger("action.undo");
    EXPECT_EQ(text("data.assays", 0, "value"), first);
    const std::size_t before = study().assays.readings.size();
    QGuiApplication::clipboard()->setText(
        QStringLiteral("sample\trun\treplicate\ttime_min\tvalue\tsample_mass_mg\tblank\n"
                       "high-dose-crisp\tZ\t1\t20\t88.5\t502\tno\n"
                       "\tZ\t1\t20\t2.2\t\tyes\n"));
    find<QAction>("data.assays.pasteRows").trigger();
    ASSERT_EQ(study().assays.readings.size(), before + 2);
    EXPECT_EQ(study().assays.readings[before].value, 88.5);
    EXPECT_TRUE(study().assays.readings[before + 1].blank);
    // One row that does not fit, and nothing of the block is taken.
    QGuiApplication::clipboard()->setText(
        QStringLiteral("high-dose-crisp\tZ\t1\t30\t90\t502\tno\n"
                       "oat\tZ\t1\t30\t2.2\t502\tno\n"));
    find<QAction>("data.assays.pasteRows").trigger();
    EXPECT_EQ(study().assays.readings.size(), before + 2);
    EXPECT_TRUE(find<QLabel>("data.assays.words").text().contains(QStringLiteral("oat")));
}

TEST_F(LaboratoryData, ADigestionIsExcludedByTheMenuAndListed) {
    openCrisps();
    const std::string before = textOf("digestion_fractions");
    const std::size_t own = study().exclusions.size();
    const int row = rapidReading();
    const AssayReading reading = study().assays.readings[static_cast<std::size_t>(row)];
    chooseInMenu("data.assays", at("data.assays", row, "value"), "editMenu.excludeDigestion");
    EXPECT_FALSE(find<QPushButton>("exclude.go").isEnabled());
    exclude(QStringLiteral("the tube leaked"));
    ASSERT_EQ(study().exclusions.size(), own + 1);
    EXPECT_EQ(study().exclusions[own].material, reading.sample);
    EXPECT_EQ(study().exclusions[own].run, reading.run);
    EXPECT_EQ(study().exclusions[own].replicate, reading.replicate);
    const QModelIndex status = model("data.assays").index(row, model("data.assays").columnCount() - 1);
    EXPECT_TRUE(status.data().toString().contains(QStringLiteral("the tube leaked")));
    ASSERT_TRUE(waitForResults());
    EXPECT_NE(textOf("digestion_fractions"), before);
    window_->setStep(Step::exclusions);
    const auto& list = find<ResultView>("exclusions.list");
    EXPECT_TRUE(list.isVisible());
    EXPECT_EQ(list.table()->rows.size(), own + 1);
    EXPECT_NE(textOf("exclusions").find("the tube leaked"), std::string::npos);
    trigger("action.undo");
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(textOf("digestion_fractions"), before);
}

TEST_F(LaboratoryData, EachMenuExcludesWhatItSays) {
    openCrisps();
    const std::size_t own = study().exclusions.size();
    chooseInMenu("data.assays", at("data.assays", 0, "value"), "editMenu.excludeRun");
    exclude(QStringLiteral("the bath was cold"));
    ASSERT_EQ(study().exclusions.size(), own + 1);
    EXPECT_TRUE(study().exclusions[own].material.empty());
    EXPECT_EQ(study().exclusions[own].run, study().assays.readings[0].run);
    showTable("laboratoryData", "data.fibre");
    chooseInMenu("data.fibre", at("data.fibre", 1, "value"), "editMenu.excludeDetermination");
    exclude(QStringLiteral("the crucible cracked"));
    ASSERT_EQ(study().exclusions.size(), own + 2);
    EXPECT_EQ(study().exclusions[own + 1].method, study().fibre.results[1].method);
    EXPECT_EQ(study().exclusions[own + 1].replicate, study().fibre.results[1].replicate);
    EXPECT_TRUE(isOfLaboratory(study().exclusions[own + 1]));
    showTable("diaryData", "data.diary");
    chooseInMenu("data.diary", at("data.diary", 0, "day"), "editMenu.excludePeriod");
    exclude(QStringLiteral("antibiotics that week"));
    ASSERT_EQ(study().exclusions.size(), own + 3);
    EXPECT_EQ(study().exclusions[own + 2].subject, study().diary.days[0].subject);
    EXPECT_EQ(study().exclusions[own + 2].visit, study().diary.days[0].period);
    EXPECT_FALSE(isOfLaboratory(study().exclusions[own + 2]));
}

TEST_F(LaboratoryData, RecipesAndItemsAreEdited) {
    openCrisps();
    showTable("laboratoryData", "data.recipes");
    giveReason(QStringLiteral("data.recipes"), QStringLiteral("smaller serving"));
    const std::string before = textOf("recipes");
    typeInto(view("data.recipes"), at("data.recipes", 0, "serving_g"), QStringLiteral("25"));
    EXPECT_EQ(study().fibre.recipes[0].servingG, 25.0);
    ASSERT_TRUE(waitForResults());
    EXPECT_NE(textOf("recipes"), before);
    showTable("diaryData", "data.diary_items");
    typeInto(view("data.diary_items"), at("data.diary_items", 0, "threshold"), QStringLiteral("9"));
    EXPECT_NE(study().diary.items[0].threshold, 9);
    typeInto(view("data.diary_items"), at("data.diary_items", 0, "threshold"), QStringLiteral("1"));
    EXPECT_EQ(study().diary.items[0].threshold, 1);
}

TEST_F(LaboratoryData, SavedAndOpenedAgainItIsTheSame) {
    openCrisps();
    giveReason(QStringLiteral("data.assays"), QStringLiteral("read again"));
    const int row = rapidReading();
    typeInto(view("data.assays"), at("data.assays", row, "value"), QStringLiteral("99.5"));
    showTable("diaryData", "data.diary");
    typeInto(view("data.diary"), at("data.diary", 0, "stools"), QStringLiteral("3"));
    chooseInMenu("data.diary", at("data.diary", 0, "stools"), "data.diary.copy");
    ASSERT_TRUE(waitForResults());
    const AssayData assays = study().assays;
    const DiaryData diary = study().diary;
    trigger("action.save");
    EXPECT_FALSE(window_->session().isModified());
    const StudyReading again = readStudyFolder(folder());
    ASSERT_TRUE(again.study);
    EXPECT_EQ(again.study->assays, assays);
    EXPECT_EQ(again.study->diary, diary);
    const QModelIndex cell = at("data.assays", row, "value");
    showTable("laboratoryData", "data.assays");
    chooseInMenu("data.assays", cell, "editMenu.history");
    EXPECT_TRUE(window_->page(Step::history).isVisible());
    EXPECT_EQ(find<QTableView>("history.view").model()->rowCount(), 1);
}

TEST_F(LaboratoryData, AStudyWithoutAssaysSaysWhatIsMissingAndTakesTheFirstRows) {
    openSample(QStringLiteral("barley-index"));
    showTable("laboratoryData", "data.assays");
    EXPECT_FALSE(view("data.assays").isVisible());
    EXPECT_TRUE(find<QWidget>("data.assays.view.empty").isVisible());
    window_->showTab(QStringLiteral("fractions"));
    press("fractions.enterData");
    EXPECT_TRUE(find<QWidget>("laboratoryData.tables").isVisible());
    showTable("laboratoryData", "data.assay_samples");
    press("data.assay_samples.addFirst");
    find<QLineEdit>("row.id").setText(QStringLiteral("flakes"));
    find<QLineEdit>("row.total_starch_percent").setText(QStringLiteral("60"));
    find<QLineEdit>("row.reason").setText(QStringLiteral("first digestions"));
    find<QLineEdit>("row.by").setText(QStringLiteral("KM"));
    press("row.go");
    ASSERT_EQ(study().assays.samples.size(), 1U);
    EXPECT_TRUE(view("data.assay_samples").isVisible());
    showTable("laboratoryData", "data.assays");
    auto& quantity = find<QComboBox>("data.assays.quantity");
    quantity.setFocus();
    QTest::keyClick(&quantity, Qt::Key_Down);
    EXPECT_EQ(study().assays.quantity, AssayQuantity::starchPercent);
    QGuiApplication::clipboard()->setText(
        QStringLiteral("flakes\tA\t1\t20\t31\t\tno\n"
                       "flakes\tA\t1\t120\t72\t\tno\n"));
    press("data.assays.pasteFirst");
    ASSERT_EQ(study().assays.readings.size(), 2U);
    EXPECT_TRUE(view("data.assays").isVisible());
    ASSERT_TRUE(waitForResults());
    EXPECT_NE(textOf("digestion_fractions"), "");
    const AssayData made = study().assays;
    trigger("action.save");
    ASSERT_FALSE(window_->session().isModified());
    const StudyReading again = readStudyFolder(folder());
    ASSERT_TRUE(again.study);
    EXPECT_EQ(again.study->assays.samples, made.samples);
    ASSERT_EQ(again.study->assays.readings.size(), 2U);
    EXPECT_EQ(again.study->assays.readings[1].value, 72.0);
    EXPECT_FALSE(again.study->assays.file.empty());
}

TEST_F(LaboratoryData, AProblemOfAssaysLeadsToItsRow) {
    openCrisps();
    Problem problem;
    problem.file = study().assays.file;
    problem.row = study().assays.readings[40].row;
    problem.column = "value";
    window_->setStep(Step::problems);
    Q_EMIT static_cast<ProblemsPage&>(window_->page(Step::problems)).activated(problem);
    EXPECT_TRUE(view("data.assays").isVisible());
    EXPECT_EQ(view("data.assays").currentIndex(), at("data.assays", 40, "value"));
    problem.file = study().diary.file;
    problem.row = study().diary.days[7].row;
    problem.subject = study().diary.days[7].subject;
    problem.column = "bloating";
    Q_EMIT static_cast<ProblemsPage&>(window_->page(Step::problems)).activated(problem);
    EXPECT_TRUE(view("data.diary").isVisible());
    EXPECT_EQ(view("data.diary").currentIndex(), at("data.diary", 7, "bloating"));
}

TEST_F(LaboratoryData, WhatMayOnlyBeLookedAtIsNotEdited) {
    openCrisps();
    auto second = makeWindow();
    second->show();
    second->openStudy(window_->session().folder());
    ASSERT_TRUE(waitUntil([&] { return second->session().hasStudy() && !second->session().isBusy(); }));
    ASSERT_FALSE(second->session().readOnlyBecause().isEmpty());
    for (const char* stem : {"data.assays", "data.assay_samples", "data.fibre", "data.recipes",
                             "data.recipe_parts", "data.diary_items", "data.diary", "data.adverse_events"}) {
        auto* one = second->findChild<QTableView*>(QLatin1String(stem) + QStringLiteral(".view"));
        ASSERT_NE(one, nullptr) << stem;
        EXPECT_FALSE(one->model()->flags(one->model()->index(0, 0)).testFlag(Qt::ItemIsEditable)) << stem;
        second->findChild<QAction*>(QLatin1String(stem) + QStringLiteral(".add"))->trigger();
        EXPECT_EQ(second->findChild<QDialog*>(QStringLiteral("rowDialog")), nullptr) << stem;
    }
    for (const char* name :
         {"fractions.choices", "digestion.choices", "samplesCompared.choices", "fibre.choices",
          "fibreStatements.choices", "symptoms.choices", "diaryDays.choices"}) {
        EXPECT_FALSE(second->findChild<QWidget*>(QLatin1String(name))->isEnabled()) << name;
    }
}

}  // namespace aftercurve::test
