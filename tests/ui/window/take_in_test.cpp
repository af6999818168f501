#include <QComboBox>
#include <QDir>
#include <QElapsedTimer>
#include <QFile>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QTabWidget>
#include <QTableView>
#include <QTest>
#include <QTimer>

#include "tests/ui/window/window_fixture.h"
#include "ui/takein/mapping_forms.h"
#include "ui/takein/questions_panel.h"
#include "ui/takein/take_in_window.h"

namespace aftercurve::test {

namespace {

class TakingIn : public WindowTest {
  protected:
    QString write(const QString& name, const QByteArray& bytes) {
        const QString path = inTemp(name);
        QFile file(path);
        EXPECT_TRUE(file.open(QIODevice::WriteOnly));
        file.write(bytes);
        return path;
    }

    TakeInWindow& start(const QStringList& files) {
        chosen_ = files;
        trigger("action.takeIn");
        auto& window = find<TakeInWindow>("takeInWindow");
        EXPECT_TRUE(
            waitUntil([&] { return !window.session().tables().empty() && !window.session().isBusy(); }));
        return window;
    }

    void answer(TakeInWindow& window, const char* key, const QString& text) {
        EXPECT_TRUE(window.session().answer(key, text).ok()) << key;
        EXPECT_TRUE(waitUntil([&] { return !window.session().isBusy(); }));
    }
};

/// Two subjects, a drink and a bread, in the way of a laboratory: semicolons, decimal commas, a title above.
QByteArray sheet(const QByteArray& unit) {
    QByteArray text = "Glucose results, invented data;;;;\nSubject;Food;Time;Glucose" + unit + "\n";
    for (const char* subject : {"01", "02"}) {
        for (const char* food : {"glucose drink", "rye bread"}) {
            for (const auto& [time, value] : {std::pair{"0", "4,5"}, std::pair{"30", "7,5"},
                                              std::pair{"60", "6,5"}, std::pair{"120", "4,6"}}) {
                text += QByteArray(subject) + ';' + food + ';' + time + ';' + value + '\n';
            }
        }
    }
    return text;
}

}  // namespace

TEST_F(TakingIn, AFileBecomesAStudyThatIsOpened) {
    TakeInWindow& window = start({write(QStringLiteral("lab.csv"), sheet(" (mmol/L)"))});
    for (std::size_t i = 0; i < window.session().mapping().foods.size(); ++i) {
        const std::string key = "foods[" + std::to_string(i) + "].role";
        if (window.session().answerAt(key).isEmpty()) {
            answer(window, key.c_str(), QStringLiteral("test"));
        }
    }
    const QString folder = inTemp(QStringLiteral("taken"));
    find<QLineEdit>("takeIn.folder").setText(folder);
    ASSERT_TRUE(find<QPushButton>("takeIn.go").isEnabled())
        << find<QLabel>("takeIn.state").text().toStdString();
    EXPECT_FALSE(QFile::exists(folder)) << "nothing is written before it is asked for";
    EXPECT_GT(find<QTableView>("takeIn.draws").model()->rowCount(), 0);
    press("takeIn.go");
    ASSERT_TRUE(
        waitUntil([&] { return window_->session().hasStudy() && window_->session().resultsAreCurrent(); }));
    const Study& study = *window_->session().study();
    EXPECT_EQ(study.subjects.size(), 2U);
    EXPECT_EQ(study.foods.size(), 2U);
    ASSERT_EQ(study.draws.size(), 16U);
    EXPECT_EQ(study.concentrations[0][0], 4.5);
    EXPECT_EQ(QDir(window_->session().folder()), QDir(folder));
}

TEST_F(TakingIn, AnOpenQuestionBlocksUntilItIsAnswered) {
    TakeInWindow& window = start({write(QStringLiteral("lab.csv"), sheet(""))});
    ASSERT_FALSE(window.session().questions().empty());
    find<QLineEdit>("takeIn.folder").setText(inTemp(QStringLiteral("taken")));
    EXPECT_FALSE(find<QPushButton>("takeIn.go").isEnabled());
    EXPECT_TRUE(find<QLabel>("takeIn.state").text().contains(QStringLiteral("question")));
    const int open = find<QuestionsPanel>("takeIn.questions").openQuestions();
    EXPECT_GT(open, 0);
    for (const Question& question : window.session().questions()) {
        if (window.session().answerAt(question.key).isEmpty()) {
            ASSERT_FALSE(question.answers.empty()) << question.key;
            answer(window, question.key.c_str(), QString::fromStdString(question.answers.front()));
        }
    }
    EXPECT_EQ(find<QuestionsPanel>("takeIn.questions").openQuestions(), 0);
    EXPECT_TRUE(find<QPushButton>("takeIn.go").isEnabled())
        << find<QLabel>("takeIn.state").text().toStdString();
}

TEST_F(TakingIn, AColumnCanBeCorrectedAndMustBeMapped) {
    TakeInWindow& window = start({write(QStringLiteral("lab.csv"), sheet(" (mmol/L)"))});
    auto& view = find<QTableView>("takeIn.file");
    view.selectColumn(0);
    Q_EMIT view.clicked(view.model()->index(3, 0));
    auto& role = find<QComboBox>("takeIn.role");
    EXPECT_EQ(role.currentData().toInt(), static_cast<int>(ColumnRole::subject));
    role.setCurrentIndex(role.findData(static_cast<int>(ColumnRole::ignore)));
    Q_EMIT role.activated(role.currentIndex());
    ASSERT_TRUE(waitUntil([&] { return !window.session().isBusy(); }));
    EXPECT_FALSE(window.session().isReady());
    EXPECT_GT(errorCount(window.session().trial().problems), 0U);
    EXPECT_EQ(view.model()->headerData(0, Qt::Horizontal, Qt::DisplayRole).toString(),
              QStringLiteral("not used"));
    role.setCurrentIndex(role.findData(static_cast<int>(ColumnRole::subject)));
    Q_EMIT role.activated(role.currentIndex());
    ASSERT_TRUE(waitUntil([&] { return !window.session().isBusy(); }));
    EXPECT_EQ(errorCount(window.session().trial().problems), 0U);
}

TEST_F(TakingIn, AMappingIsSavedAndUsedAgain) {
    TakeInWindow& window = start({write(QStringLiteral("lab.csv"), sheet(""))});
    for (const Question& question : window.session().questions()) {
        if (window.session().answerAt(question.key).isEmpty()) {
            answer(window, question.key.c_str(), QString::fromStdString(question.answers.front()));
        }
    }
    const Mapping answered = window.session().mapping();
    mappingFile_ = inTemp(QStringLiteral("lab-mapping.json"));
    press("takeIn.saveMapping");
    window.openFiles({inTemp(QStringLiteral("lab.csv"))});
    ASSERT_TRUE(waitUntil([&] { return !window.session().isBusy(); }));
    EXPECT_FALSE(window.session().mapping() == answered);
    press("takeIn.loadMapping");
    ASSERT_TRUE(waitUntil([&] { return !window.session().isBusy(); }));
    EXPECT_TRUE(window.session().mapping() == answered);
    EXPECT_TRUE(window.session().isReady());
}

TEST_F(TakingIn, TheWindowAnswersWhileALargeFileIsTakenIn) {
    QByteArray text = "Subject;Food;Time (min);Glucose (mmol/L)\n";
    constexpr int subjects = 12500;
    for (int subject = 0; subject < subjects; ++subject) {
        for (const char* food : {"glucose drink", "rye bread"}) {
            for (const int time : {0, 15, 30, 45, 60, 90, 105, 120}) {
                text +=
                    'S' + QByteArray::number(subject) + ';' + food + ';' + QByteArray::number(time) + ';' +
                    QByteArray::number(5.0 + 0.001 * ((subject * 7 + time * 13) % 997)).replace('.', ',') +
                    '\n';
            }
        }
    }
    QElapsedTimer sinceTick;
    qint64 longest = 0;
    int ticks = 0;
    QTimer ticking;
    QObject::connect(&ticking, &QTimer::timeout, &ticking, [&] {
        longest = std::max(longest, sinceTick.restart());
        ++ticks;
    });
    const QString file = write(QStringLiteral("large.csv"), text);
    sinceTick.start();
    ticking.start(10);
    TakeInWindow& window = start({file});
    find<QLineEdit>("takeIn.folder").setText(inTemp(QStringLiteral("taken")));
    for (const Question& question : window.session().questions()) {
        if (window.session().answerAt(question.key).isEmpty()) {
            answer(window, question.key.c_str(), QString::fromStdString(question.answers.front()));
        }
    }
    ASSERT_TRUE(find<QPushButton>("takeIn.go").isEnabled());
    press("takeIn.go");
    ASSERT_TRUE(waitUntil([this] { return window_->session().hasStudy(); }, 280000));
    EXPECT_EQ(window_->session().study()->draws.size(), 200000U);
    EXPECT_GT(ticks, 10);
    // Far below the seconds that the work takes on the worker, also on a busy machine.
    EXPECT_LT(longest, 5000);
}

TEST_F(TakingIn, AFileThatIsNoneSaysWhy) {
    chosen_ = {
        write(QStringLiteral("old.xls"), QByteArray::fromHex("d0cf11e0a1b11ae1") + QByteArray(600, '\0'))};
    trigger("action.takeIn");
    auto& view = find<QTableView>("takeIn.problems.view");
    ASSERT_TRUE(waitUntil([&] { return view.model()->rowCount() > 0; }));
    EXPECT_FALSE(find<QPushButton>("takeIn.go").isEnabled());
}

}  // namespace aftercurve::test
