#include <QDropEvent>
#include <QFile>
#include <QLabel>
#include <QMenu>
#include <QMimeData>
#include <QPushButton>
#include <QStackedWidget>
#include <QTableView>
#include <QTest>
#include <string>

#include "tests/ui/window/window_fixture.h"
#include "ui/window/figure_view.h"
#include "ui/window/pages/page.h"
#include "ui/window/result_view.h"

namespace aftercurve::test {

namespace {

class OpenStudy : public WindowTest {};

struct SampleCase {
    const char* folder;
    const char* draws;
};

class OpenSample : public WindowTest, public testing::WithParamInterface<SampleCase> {};

void write(const QString& path, const QByteArray& text) {
    QFile file(path);
    ASSERT_TRUE(file.open(QIODevice::WriteOnly));
    file.write(text);
}

}  // namespace

TEST_P(OpenSample, ShowsEveryPage) {
    openSample(QLatin1String(GetParam().folder));
    EXPECT_TRUE(find<StepButton>("step.samples").status().startsWith(QLatin1String(GetParam().draws)))
        << find<StepButton>("step.samples").status().toStdString();
    for (int i = 0; i < stepCount; ++i) {
        const auto step = static_cast<Step>(i);
        press(qPrintable(QStringLiteral("step.") + stepWord(step)));
        Page& page = window_->page(step);
        EXPECT_TRUE(page.isVisible()) << stepWord(step).toStdString();
        EXPECT_FALSE(
            find<StepButton>(qPrintable(QStringLiteral("step.") + stepWord(step))).status().isEmpty());
        if (page.figure() != nullptr && page.figure()->isVisible()) {
            EXPECT_TRUE(waitUntil([&] { return page.figure()->isDrawn(); })) << stepWord(step).toStdString();
        }
    }
    EXPECT_GT(find<QTableView>("table.measures").model()->rowCount(), 0);
    EXPECT_GT(find<QTableView>("table.comparisons").model()->rowCount(), 0);
    EXPECT_FALSE(find<QLabel>("comparisons.sentence").text().isEmpty());
}

INSTANTIATE_TEST_SUITE_P(Samples, OpenSample,
                         testing::Values(SampleCase{"barley-index", "480 draws"},
                                         SampleCase{"pulse-wafer-crossover", ""},
                                         SampleCase{"kelp-barley-crisps", "768 draws"}),
                         [](const auto& sample) {
                             const std::string name = sample.param.folder;
                             return name.substr(0, name.find('-'));
                         });

TEST_F(OpenStudy, StartsWithAPlaceToDropAndTheSampleStudies) {
    EXPECT_TRUE(find<QWidget>("startPage").isVisible());
    EXPECT_FALSE(find<QWidget>("planSentence").isVisible());
    press("start.sample0");
    ASSERT_TRUE(waitForResults());
    EXPECT_TRUE(find<QWidget>("planSentence").isVisible());
    EXPECT_FALSE(find<QWidget>("startPage").isVisible());
}

TEST_F(OpenStudy, TakesAFolderOrItsStudyJsonDroppedOnIt) {
    const QString folder = copyOfStudy(QStringLiteral(TEST_SAMPLES "/barley-index"), temp_.path());
    for (const QString& path : {folder, folder + QStringLiteral("/study.json")}) {
        QMimeData data;
        data.setUrls({QUrl::fromLocalFile(path)});
        QDragEnterEvent enter(QPoint(50, 50), Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
        QApplication::sendEvent(window_.get(), &enter);
        EXPECT_TRUE(enter.isAccepted());
        QDropEvent drop(QPointF(50, 50), Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
        QApplication::sendEvent(window_.get(), &drop);
        ASSERT_TRUE(waitForResults());
        EXPECT_EQ(window_->session().folder(), folder);
    }
}

TEST_F(OpenStudy, TakesNoOtherDrop) {
    QMimeData data;
    data.setUrls({QUrl::fromLocalFile(inTemp(QStringLiteral("picture.png")))});
    QDragEnterEvent enter(QPoint(50, 50), Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
    enter.ignore();
    QApplication::sendEvent(window_.get(), &enter);
    EXPECT_FALSE(enter.isAccepted());
}

TEST_F(OpenStudy, RemembersStudiesForTheNextTime) {
    openSample(QStringLiteral("barley-index"));
    const QString barley = window_->session().folder();
    openSample(QStringLiteral("pulse-wafer-crossover"));
    const auto later = makeWindow();
    auto* menu = later->findChild<QMenu*>(QStringLiteral("menu.recent"));
    ASSERT_EQ(menu->actions().size(), 2);
    EXPECT_TRUE(menu->actions().at(0)->text().endsWith(QStringLiteral("pulse-wafer-crossover")));
    menu->actions().at(1)->trigger();
    ASSERT_TRUE(waitUntil([&] { return later->session().hasStudy(); }));
    EXPECT_EQ(later->session().folder(), barley);
}

TEST_F(OpenStudy, SaysInWordsWhyAStudyCannotBeReadAndKeepsTheEarlierOne) {
    openSample(QStringLiteral("barley-index"));
    QDir().mkpath(inTemp(QStringLiteral("broken")));
    write(inTemp(QStringLiteral("broken/study.json")), "{ this is no JSON");
    window_->openStudy(inTemp(QStringLiteral("broken")));
    auto& page = find<QWidget>("failurePage");
    ASSERT_TRUE(waitUntil([&] { return page.isVisible(); }));
    EXPECT_TRUE(find<QLabel>("failure.title").text().contains(QStringLiteral("broken")));
    auto& problems = find<QTableView>("failure.view");
    ASSERT_GE(problems.model()->rowCount(), 1);
    EXPECT_FALSE(problems.model()->index(0, 3).data().toString().isEmpty());
    EXPECT_FALSE(problems.model()->index(0, 4).data().toString().isEmpty()) << "says what to do";
    press("failure.back");
    EXPECT_TRUE(find<QWidget>("planSentence").isVisible());
    EXPECT_TRUE(window_->session().folder().endsWith(QStringLiteral("barley-index")));
    EXPECT_NE(window_->session().results(), nullptr);
}

TEST_F(OpenStudy, FailureWithoutAnEarlierStudyLeadsBackToTheStart) {
    window_->openStudy(inTemp(QStringLiteral("nowhere")));
    ASSERT_TRUE(waitUntil([&] { return find<QWidget>("failurePage").isVisible(); }));
    press("failure.back");
    EXPECT_TRUE(find<QWidget>("startPage").isVisible());
}

TEST_F(OpenStudy, OpensWhatTheFolderQuestionAnswers) {
    folder_ = copyOfStudy(QStringLiteral(TEST_SAMPLES "/barley-index"), temp_.path());
    press("start.open");
    ASSERT_TRUE(waitForResults());
    EXPECT_EQ(window_->session().folder(), folder_);
    folder_.clear();
    trigger("action.open");
    EXPECT_FALSE(window_->session().isBusy());
}

}  // namespace aftercurve::test
