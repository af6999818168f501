#pragma once

#include <QObject>
#include <QString>

namespace aftercurve {

class MainWindow;

/// What the desktop program can do without a person at it: save a picture of the window once the results are
/// in, or say how long the first curve took; then it quits. Status 0 done, 3 the study cannot be read, 1 the
/// picture cannot be written.
class Unattended : public QObject {
    Q_OBJECT

  public:
    explicit Unattended(MainWindow& window);

    void takePicture(const QString& file);
    /// The same of the window in which files are taken in.
    void takePictureOfTakeIn(const QString& file);
    void measureStart();

  private:
    void quitOnFailure();

    MainWindow& window_;
};

}  // namespace aftercurve
