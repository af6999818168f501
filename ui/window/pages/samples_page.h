#pragma once

#include <QTimer>

#include "ui/models/samples_model.h"
#include "ui/window/pages/page.h"

class QLineEdit;
class QTableView;

namespace aftercurve {

/// The draws as they stand in the files.
class SamplesPage : public Page {
    Q_OBJECT

  public:
    explicit SamplesPage(Session& session, QWidget* parent = nullptr);

    /// Selects the row of a problem and brings it into sight; false where the problem concerns no draw.
    bool goTo(const Problem& problem);

  private:
    void showStudy();
    void showCount();

    SamplesModel* model_;
    QLineEdit* filter_;
    QLabel* count_;
    QTableView* view_;
    QTimer settle_;
};

}  // namespace aftercurve
