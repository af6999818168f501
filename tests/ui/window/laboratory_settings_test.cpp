// Settings of assays, fibre and diaries on the tabs where they act, changed as a person would.
#include <QAction>
#include <QApplication>
#include <QCheckBox>
#include <QComboBox>
#include <QDialog>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QTableWidget>
#include <QTest>

#include "core/fibre/fibre_rules.h"
#include "core/files/study_folder.h"
#include "tests/ui/window/window_fixture.h"
#include "ui/models/text.h"

namespace aftercurve::test {

namespace {

class LaboratorySettings : public WindowTest {
  protected:
    void SetUp() override { openSample(QStringLiteral("kelp-barley-crisps")); }

    void showTab(const char* name) {
        ASSERT_TRUE(window_->showTab(QLatin1String(name)));
        QApplication::processEvents();
    }

    void choose(const char* name, const QString& word) {
        auto& box = find<QComboBox>(name);
        const int at = box.findData(word);
        ASSERT_GE(at, 0) << name;
        box.setCurrentIndex(at);
        Q_EMIT box.activated(at);
    }

    const Study& study() { return *window_->session().study(); }
};

}  // namespace

TEST_F(LaboratorySettings, ACutIsChangedAndTakenBack) {
    showTab("fractions");
    const std::string before = textOf("digestion_fractions");
    enter("fractions.rapidCut", QStringLiteral("30"));
    EXPECT_EQ(study().assays.rapidCutMin, 20.0) << "a change needs a reason";
    EXPECT_EQ(find<QLineEdit>("fractions.rapidCut").text(), QStringLiteral("20"));
    EXPECT_TRUE(find<QLabel>("fractions.words").isVisible());
    giveReason(QStringLiteral("fractions"), QStringLiteral("the protocol says 30 min"));
    enter("fractions.rapidCut", QStringLiteral("30"));
    EXPECT_EQ(study().assays.rapidCutMin, 30.0);
    ASSERT_TRUE(waitForResults());
    EXPECT_NE(textOf("digestion_fractions"), before);
    ASSERT_EQ(window_->session().unsavedChanges().size(), 1U);
    EXPECT_EQ(window_->session().unsavedChanges()[0].why, "the protocol says 30 min");
    trigger("action.undo");
    EXPECT_EQ(find<QLineEdit>("fractions.rapidCut").text(), QStringLiteral("20"));
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(textOf("digestion_fractions"), before);
}

TEST_F(LaboratorySettings, WhatMakesNoSenseIsRefused) {
    showTab("fractions");
    giveReason(QStringLiteral("fractions"), QStringLiteral("test"));
    enter("fractions.rapidCut", QStringLiteral("150"));
    EXPECT_EQ(study().assays.rapidCutMin, 20.0) << "above the slow cut";
    EXPECT_TRUE(find<QLabel>("fractions.words").text().contains(QStringLiteral("Not changed")));
    enter("fractions.factor", QStringLiteral("1.4"));
    EXPECT_EQ(study().assays.glucoseToStarch, 0.9);
    enter("fractions.slowCut", QStringLiteral("soon"));
    EXPECT_EQ(find<QLineEdit>("fractions.slowCut").text(), QStringLiteral("120"));
    EXPECT_TRUE(find<QLineEdit>("fractions.slowCut").toolTip().contains(QStringLiteral("soon")));
    enter("fractions.slowCut", QString());
    EXPECT_EQ(study().assays.slowCutMin, 120.0);
    EXPECT_FALSE(window_->session().isModified());
}

TEST_F(LaboratorySettings, EachSettingOfTheAssaysReachesTheStudy) {
    showTab("digestion");
    giveReason(QStringLiteral("digestion"), QStringLiteral("protocol"));
    enter("digestion.last", QString());
    EXPECT_EQ(study().assays.lastMin, 0.0);
    enter("hydrolysis.last", QStringLiteral("180"));
    EXPECT_EQ(study().assays.lastMin, 180.0);
    showTab("samplesCompared");
    choose("samplesCompared.comparison", QStringLiteral("dunnett"));
    EXPECT_EQ(study().assays.comparison, "dunnett");
    choose("samplesCompared.basis", QStringLiteral("dry"));
    EXPECT_EQ(study().assays.basis, AssayBasis::dry);
    EXPECT_EQ(find<QComboBox>("fractions.basis").currentData().toString(), QStringLiteral("dry"));
    showTab("fractions");
    find<QCheckBox>("fractions.interpolate").click();
    EXPECT_TRUE(study().assays.interpolate);
    enter("fractions.factor", QStringLiteral("0,95"));
    EXPECT_EQ(study().assays.glucoseToStarch, 0.95);
    ASSERT_TRUE(waitForResults());
    const AssayData assays = study().assays;
    trigger("action.save");
    ASSERT_FALSE(window_->session().isModified());
    const StudyReading again = readStudyFolder(window_->session().folder().toStdString());
    ASSERT_TRUE(again.study);
    EXPECT_EQ(again.study->assays, assays);
}

TEST_F(LaboratorySettings, TheRegionOfFibreChangesTheStatements) {
    showTab("fibreStatements");
    const std::string before = textOf("fibre_statements");
    EXPECT_TRUE(find<QLabel>("fibreStatements.note").text().contains(QStringLiteral("1169/2011")));
    EXPECT_TRUE(
        find<QLabel>("fibreStatements.note").text().contains(QStringLiteral("heck with your authority")));
    giveReason(QStringLiteral("fibreStatements"), QStringLiteral("also sold there"));
    choose("fibreStatements.region", QStringLiteral("anz"));
    EXPECT_EQ(study().fibre.region, "anz");
    EXPECT_TRUE(find<QLabel>("fibreStatements.note").text().contains(QStringLiteral("Standard 1.1.2")));
    ASSERT_TRUE(waitForResults());
    EXPECT_NE(textOf("fibre_statements"), before);
    enter("recipes.target", QStringLiteral("25"));
    EXPECT_EQ(study().fibre.targetG, 25.0);
    EXPECT_EQ(find<QLineEdit>("fibreStatements.target").text(), QStringLiteral("25"));
    enter("recipes.target", QStringLiteral("-1"));
    EXPECT_EQ(study().fibre.targetG, 25.0);
}

TEST_F(LaboratorySettings, AnOwnRuleBeginsAsACopyAndNonsenseIsRefused) {
    showTab("fibreStatements");
    press("fibreStatements.rules");
    auto& dialog = find<QDialog>("fibreRulesDialog");
    auto& from = find<QComboBox>("fibreRules.from");
    from.setCurrentIndex(from.findData(QStringLiteral("eu")));
    press("fibreRules.addRule");
    EXPECT_EQ(find<QListWidget>("fibreRules.list").count(), 1);
    EXPECT_EQ(find<QLineEdit>("fibreRules.key").text(), QStringLiteral("eu"));
    find<QLineEdit>("fibreRules.reason").setText(QStringLiteral("guidance of this spring"));
    find<QLineEdit>("fibreRules.by").setText(QStringLiteral("KM"));
    find<QLineEdit>("fibreRules.source").clear();
    press("fibreRules.go");
    EXPECT_TRUE(dialog.isVisible()) << "a rule without a source";
    EXPECT_TRUE(study().fibre.rules.empty());
    find<QLineEdit>("fibreRules.source").setText(QStringLiteral("invented, for a test"));
    auto& statements = find<QTableWidget>("fibreRules.statements.table");
    statements.item(0, 1)->setText(QStringLiteral("much"));
    press("fibreRules.go");
    EXPECT_TRUE(study().fibre.rules.empty()) << "an amount that is no number";
    statements.item(0, 1)->setText(QStringLiteral("4,5"));
    find<QLineEdit>("fibreRules.title").setText(QStringLiteral("Invented authority"));
    press("fibreRules.go");
    ASSERT_EQ(study().fibre.rules.size(), 1U);
    FibreRule expected = builtInFibreRules()[1];
    ASSERT_EQ(expected.key, "eu");
    expected.source = "invented, for a test";
    expected.title = "Invented authority";
    expected.statements[0].anyOf[0].atLeastG = 4.5;
    EXPECT_EQ(study().fibre.rules[0], expected);
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(find<QComboBox>("fibreStatements.region").currentText(),
              QStringLiteral("Invented authority (this study's own)"));
    EXPECT_TRUE(find<QLabel>("fibreStatements.note").text().contains(QStringLiteral("invented, for a test")));
    trigger("action.undo");
    EXPECT_TRUE(study().fibre.rules.empty());
}

TEST_F(LaboratorySettings, OwnRepeatabilityIsListed) {
    showTab("fibre");
    press("fibre.repeatability");
    press("repeatability.add");
    auto& table = find<QTableWidget>("repeatability.table");
    table.item(0, 0)->setText(QStringLiteral("2017.16"));
    table.item(0, 1)->setText(QStringLiteral("little"));
    find<QLineEdit>("repeatability.reason").setText(QStringLiteral("twelve duplicates"));
    find<QLineEdit>("repeatability.by").setText(QStringLiteral("KM"));
    press("repeatability.go");
    EXPECT_TRUE(study().fibre.repeatability.empty());
    table.item(0, 1)->setText(QStringLiteral("0,21"));
    press("repeatability.go");
    EXPECT_EQ(study().fibre.repeatability, (std::vector<OwnRepeatability>{{"2017.16", 0.21}}));
    EXPECT_TRUE(waitForResults());
    trigger("action.undo");
    EXPECT_TRUE(study().fibre.repeatability.empty());
}

TEST_F(LaboratorySettings, TheDiaryFollowsItsSettings) {
    showTab("diaryDays");
    giveReason(QStringLiteral("diaryDays"), QStringLiteral("eight were planned"));
    const std::string before = textOf("diary_missing");
    enter("diaryDays.planned", QStringLiteral("7.5"));
    EXPECT_NE(study().diary.plannedDays, 8);
    enter("diaryDays.planned", QStringLiteral("8"));
    EXPECT_EQ(study().diary.plannedDays, 8);
    ASSERT_TRUE(waitForResults());
    EXPECT_NE(textOf("diary_missing"), before);
    enter("diaryDays.planned", QStringLiteral("5000"));
    EXPECT_EQ(study().diary.plannedDays, 8);
    showTab("symptoms");
    const bool prorate = study().diary.prorate;
    find<QCheckBox>("symptoms.prorate").click();
    EXPECT_EQ(study().diary.prorate, !prorate);
}

TEST_F(LaboratorySettings, TheyAreHiddenWhereThereIsNothingToSet) {
    openSample(QStringLiteral("barley-index"));
    showTab("fractions");
    EXPECT_FALSE(find<QWidget>("fractions.choices").isVisible());
    showTab("fibreStatements");
    EXPECT_FALSE(find<QWidget>("fibreStatements.choices").isVisible());
    showTab("diaryDays");
    EXPECT_FALSE(find<QWidget>("diaryDays.choices").isVisible());
}

}  // namespace aftercurve::test
