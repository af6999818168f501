// The window by keyboard and by screen reader, and under a large study.
#include <QAbstractButton>
#include <QAbstractSpinBox>
#include <QComboBox>
#include <QElapsedTimer>
#include <QFile>
#include <QLineEdit>
#include <QScrollBar>
#include <QTableView>
#include <QTest>
#include <QTimer>
#include <set>

#include "tests/ui/window/window_fixture.h"
#include "ui/window/pages/page.h"
#include "ui/window/step_bar.h"
#include "ui/window/word_controls.h"

namespace aftercurve::test {

namespace {

bool isInput(const QWidget& widget) {
    return qobject_cast<const QAbstractButton*>(&widget) != nullptr ||
           qobject_cast<const QComboBox*>(&widget) != nullptr ||
           qobject_cast<const QAbstractSpinBox*>(&widget) != nullptr ||
           qobject_cast<const QLineEdit*>(&widget) != nullptr ||
           qobject_cast<const QAbstractItemView*>(&widget) != nullptr;
}

/// Parts that Qt makes inside a widget of ours speak through that widget.
bool isPartOfAnInput(const QWidget& widget) {
    for (const QWidget* up = widget.parentWidget(); up != nullptr; up = up->parentWidget()) {
        if (isInput(*up)) {
            return true;
        }
    }
    return false;
}

void expectNames(const QWidget& root) {
    for (const QWidget* widget : root.findChildren<QWidget*>()) {
        const bool scrollArrow = widget->objectName().startsWith(QStringLiteral("qt_"));
        if (isInput(*widget) && !isPartOfAnInput(*widget) && !scrollArrow) {
            const auto* button = qobject_cast<const QAbstractButton*>(widget);
            const bool named =
                !widget->accessibleName().isEmpty() || (button != nullptr && !button->text().isEmpty());
            EXPECT_TRUE(named) << widget->metaObject()->className() << " "
                               << widget->objectName().toStdString();
        }
    }
}

class Reach : public WindowTest {};

}  // namespace

TEST_F(Reach, EveryInputHasAnAccessibleName) {
    expectNames(*window_);
    openSample(QStringLiteral("pulse-wafer-crossover"));
    for (int i = 0; i < stepCount; ++i) {
        window_->setStep(static_cast<Step>(i));
        expectNames(*window_);
    }
    window_->setStep(Step::curves);
    trigger("action.exportFigure");
    expectNames(find<QWidget>("exportFigure"));
}

TEST_F(Reach, TabReachesEveryControlOfTheSentenceAndEveryStep) {
    openSample(QStringLiteral("barley-index"));
    std::set<QString> wanted{QStringLiteral("plan.measure"),      QStringLiteral("plan.windowEnd"),
                             QStringLiteral("plan.baseline"),     QStringLiteral("plan.gaps"),
                             QStringLiteral("plan.comparator"),   QStringLiteral("plan.alpha"),
                             QStringLiteral("plan.multiplicity"), QStringLiteral("plan.further"),
                             QStringLiteral("plan.index")};
    QWidget* first = &find<QWidget>("plan.measure");
    QWidget* at = first;
    int left = 400;
    std::vector<QString> order;
    do {
        if (wanted.erase(at->objectName()) == 1) {
            order.push_back(at->objectName());
        }
        at = at->nextInFocusChain();
    } while (at != first && --left > 0);
    EXPECT_TRUE(wanted.empty());
    EXPECT_EQ(order.at(1), QStringLiteral("plan.windowEnd")) << "in the order of reading";
    EXPECT_EQ(order.back(), QStringLiteral("plan.index"));
}

TEST_F(Reach, StepsAreChosenByKeys) {
    openSample(QStringLiteral("barley-index"));
    for (int i = stepCount - 1; i >= 0; --i) {
        const auto step = static_cast<Step>(i);
        const Qt::Key key = step == Step::history      ? Qt::Key_H
                            : step == Step::figures    ? Qt::Key_G
                            : step == Step::laboratory ? Qt::Key_L
                            : step == Step::tolerance  ? Qt::Key_T
                            : step == Step::evidence   ? Qt::Key_8
                            : step == Step::problems   ? Qt::Key_9
                            : step == Step::planning   ? Qt::Key_0
                                                       : static_cast<Qt::Key>(Qt::Key_1 + i);
        QTest::keyClick(window_.get(), key, Qt::ControlModifier);
        EXPECT_TRUE(window_->page(static_cast<Step>(i)).isVisible());
    }
    auto& study = find<QAbstractButton>("step.study");
    study.setFocus();
    QTest::keyClick(&study, Qt::Key_Right);
    EXPECT_TRUE(window_->page(Step::samples).isVisible());
    QTest::keyClick(&find<QAbstractButton>("step.samples"), Qt::Key_Left);
    EXPECT_TRUE(window_->page(Step::study).isVisible());
}

TEST_F(Reach, TextGetsLargerAndSmaller) {
    openSample(QStringLiteral("barley-index"));
    const double usual = find<QWidget>("plan.measure").font().pointSizeF();
    trigger("action.larger");
    EXPECT_GT(find<QWidget>("plan.measure").font().pointSizeF(), usual);
    trigger("action.smaller");
    EXPECT_NEAR(find<QWidget>("plan.measure").font().pointSizeF(), usual, 0.01);
}

TEST_F(Reach, StepsStandInTwoRowsWhereTheirTextIsLarge) {
    openSample(QStringLiteral("barley-index"));
    window_->resize(1280, 800);
    auto& bar = find<StepBar>("stepBar");
    while (find<QWidget>("plan.measure").font().pointSizeF() < 2.0 * QApplication::font().pointSizeF()) {
        trigger("action.larger");
    }
    QCoreApplication::processEvents();
    EXPECT_GT(bar.stepsBelow(), 0);
    EXPECT_LE(bar.minimumSizeHint().width(), 1280);
    for (int i = 0; i < stepCount; ++i) {
        const StepButton& button = bar.button(static_cast<Step>(i));
        EXPECT_GE(button.width(), button.minimumSizeHint().width()) << i;
        EXPECT_TRUE(bar.rect().contains(button.geometry())) << i;
    }
}

TEST_F(Reach, TheWindowAnswersWhileALargeStudyIsReadAndComputed) {
    const QString folder = inTemp(QStringLiteral("large"));
    QDir().mkpath(folder);
    QFile json(folder + QStringLiteral("/study.json"));
    ASSERT_TRUE(json.open(QIODevice::WriteOnly));
    json.write(R"({"format": "aftercurve-study", "version": 1, "title": "Invented, large",
        "foods": [{"id": "drink", "role": "reference"}, {"id": "barley", "role": "test"}],
        "analytes": [{"id": "glucose", "unit": "mmol/L"}], "samples": ["samples.csv"]})");
    json.close();
    QFile csv(folder + QStringLiteral("/samples.csv"));
    ASSERT_TRUE(csv.open(QIODevice::WriteOnly));
    QByteArray text = "subject,food,visit,time_min,glucose\n";
    constexpr int subjects = 12500;
    const int times[] = {0, 15, 30, 45, 60, 90, 105, 120};
    for (int subject = 0; subject < subjects; ++subject) {
        for (const char* food : {"drink", "barley"}) {
            for (const int time : times) {
                text += QByteArray::number(subject) + ',' + food + ",1," + QByteArray::number(time) + ',' +
                        QByteArray::number(5.0 + 0.001 * ((subject * 7 + time * 13) % 997)) + '\n';
            }
        }
    }
    csv.write(text);
    csv.close();

    // The longest time between two ticks is how long the window did not answer.
    QElapsedTimer sinceTick;
    qint64 longest = 0;
    int ticks = 0;
    QTimer ticking;
    QObject::connect(&ticking, &QTimer::timeout, &ticking, [&] {
        longest = std::max(longest, sinceTick.restart());
        ++ticks;
    });
    sinceTick.start();
    ticking.start(10);
    window_->openStudy(folder);
    ASSERT_TRUE(waitUntil([&] { return window_->session().resultsAreCurrent(); }, 280000));
    EXPECT_EQ(find<QTableView>("samples.view").model()->rowCount(), 200000);
    EXPECT_GT(ticks, 10);
    // Far above what is needed and far below the seconds that reading and computing take on the worker, also
    // on a busy machine.
    EXPECT_LT(longest, 5000);
    RecordProperty("longest_gap_ms", static_cast<int>(longest));

    // Saving a study of this size goes to the worker too, and nothing is changed meanwhile.
    Session& session = window_->session();
    ASSERT_TRUE(session
                    .changeAs({SetCell{StudyTable::samples, 0, 4, "9.5"}}, QStringLiteral("test"),
                              {QStringLiteral("KM"), QStringLiteral("test")})
                    .ok());
    trigger("action.save");
    EXPECT_TRUE(session.isBusy());
    ASSERT_TRUE(waitUntil([&] { return !session.isModified(); }, 280000));
    EXPECT_TRUE(find<QTableView>("samples.view").isEnabled());
}

TEST_F(Reach, EscStopsReading) {
    // The folder is read on a worker, so the key comes before its end however fast it is: no event ran
    // between.
    const QString folder = copyOfStudy(QStringLiteral(TEST_SAMPLES "/barley-index"), temp_.path());
    window_->openStudy(folder);
    ASSERT_TRUE(window_->session().isBusy());
    QTest::keyClick(window_.get(), Qt::Key_Escape);
    EXPECT_FALSE(window_->session().isBusy());
    QTest::qWait(200);
    EXPECT_FALSE(window_->session().hasStudy());
    EXPECT_TRUE(find<QWidget>("startPage").isVisible());
}

}  // namespace aftercurve::test
