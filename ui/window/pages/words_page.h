#pragma once

#include <vector>

#include "core/findings/sentence.h"
#include "ui/window/pages/page.h"

class QListWidget;
class QPlainTextEdit;
class QPushButton;

namespace aftercurve {

/// Methods and results as sentences. A chosen sentence shows the rows that its numbers come from, and leads
/// to the first of them in its table.
class WordsPage : public Page {
    Q_OBJECT

  public:
    WordsPage(Session& session, QWidget* parent);

  Q_SIGNALS:
    /// The row of a table (key in tableList()) in the page where it stands.
    void rowWanted(const QString& table, int row);
    void copied();

  protected:
    void showEvent(QShowEvent* event) override;

  private:
    void showResults();
    void addPart(const QString& title, std::vector<Sentence> sentences);
    const Sentence* chosen() const;
    void showRows();
    void leadToRow();
    void copyAll();

    QListWidget* list_;
    QPlainTextEdit* rows_;
    QPushButton* lead_;
    QPushButton* copy_;
    std::vector<Sentence> sentences_;  ///< in the order of the list; headings have none
    bool stale_ = true;                ///< results came while the page was not in sight
};

}  // namespace aftercurve
