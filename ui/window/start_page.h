#pragma once

#include <QString>
#include <QStringList>
#include <QWidget>
#include <vector>

class QLabel;
class QPushButton;
class QVBoxLayout;

namespace aftercurve {

class ProblemsView;
struct Problem;

struct SampleStudy {
    QString title;
    QString folder;
};

/// What the window shows while no study is open: where to drop one, what was open lately, and studies to try.
class StartPage : public QWidget {
    Q_OBJECT

  public:
    StartPage(const std::vector<SampleStudy>& samples, QWidget* parent);

    void setRecent(const QStringList& folders);
    void setDropping(bool dropping);

  Q_SIGNALS:
    void openWanted();
    void takeInWanted();
    void planWanted();
    void studyWanted(const QString& folder);

  private:
    void addStudy(QVBoxLayout& list, const QString& title, const QString& folder, const QString& objectName);

    QWidget* zone_;
    QWidget* recent_;
    QVBoxLayout* recentList_;
};

/// What the window shows when a study could not be read.
class ReadFailurePage : public QWidget {
    Q_OBJECT

  public:
    explicit ReadFailurePage(QWidget* parent);

    void showFailure(const QString& folder, const std::vector<Problem>& problems,
                     const QString& earlierStudy);

  Q_SIGNALS:
    void again(const QString& folder);
    void back();

  private:
    QString folder_;
    QLabel* title_;
    QLabel* path_;
    ProblemsView* problems_;
    QPushButton* back_;
};

}  // namespace aftercurve
