#pragma once

#include <QObject>
#include <QString>
#include <QStringList>
#include <memory>
#include <optional>
#include <vector>

#include "core/intake/check_mapping.h"
#include "core/intake/guess.h"
#include "core/intake/input_table.h"
#include "core/intake/preview.h"
#include "core/intake/table_binding.h"
#include "core/intake/take_in.h"
#include "ui/work/latest_run.h"

namespace aftercurve {

/// What a change of the mapping leads to: whether it can be used, and the first draws that come of it.
struct TakeInTrial {
    std::vector<Problem> problems;
    DrawsPreview draws;
    std::vector<TablePreview> previews;  ///< of each table; empty where it cannot be read
    std::vector<Binding> bindings;       ///< of each table: which columns hold what
    std::vector<TableHead> heads;        ///< of each table
};

/// A laboratory's files on their way into a study: opened, guessed at, corrected, taken in. Reading happens
/// on a worker; every member is used on the window's thread only.
class TakeInSession : public QObject {
    Q_OBJECT

  public:
    explicit TakeInSession(QObject* parent = nullptr);

    /// Opens the files and guesses how they turn into a study. Earlier files and corrections are dropped.
    void open(const QStringList& files);
    bool isBusy() const { return reading_.isRunning() || trying_.isRunning() || taking_.isRunning(); }
    void stop();

    const std::vector<InputTable>& tables() const { return *tables_; }
    /// As guessed and corrected.
    const Mapping& mapping() const { return mapping_; }
    const std::vector<GuessedItem>& items() const { return guess_.items; }
    const std::vector<Question>& questions() const { return guess_.questions; }
    const TakeInTrial& trial() const { return trial_; }
    /// Entry of the mapping that a table is read by; nothing where none fits.
    std::optional<std::size_t> entryOf(std::size_t table) const;

    /// A corrected mapping; what comes of it is tried at once.
    void setMapping(const Mapping& mapping);
    /// Fills the value at a key of the mapping file ("foods[1].role"); empty text: open again. Fails where
    /// the value does not fit there.
    Result<Done> answer(const std::string& key, const QString& text);
    /// What the mapping says at a key; empty where it is open.
    QString answerAt(const std::string& key) const;

    Result<Done> loadMapping(const QString& path);
    Result<Done> saveMapping(const QString& path) const;

    /// Whether nothing stands in the way any more.
    bool isReady() const;
    /// Takes the files in and writes the study into `folder`.
    void takeIn(const QString& folder);

  Q_SIGNALS:
    /// The files are open and guessed at; or none of them could be opened.
    void opened();
    void openFailed(const std::vector<aftercurve::Problem>& problems);
    void mappingChanged();
    void tried();
    void progressed(double share);
    void busyChanged(bool busy);
    /// The study is written; `notes` is what was done to the data.
    void takenIn(const QString& folder, const std::vector<aftercurve::Problem>& notes);
    void takeInFailed(const std::vector<aftercurve::Problem>& problems);

  private:
    void tryMapping();

    std::shared_ptr<const std::vector<InputTable>> tables_;
    GuessedMapping guess_;
    Mapping mapping_;
    TakeInTrial trial_;
    bool isTried_ = false;  ///< `trial_` is that of `mapping_`
    LatestRun reading_;
    LatestRun trying_;
    LatestRun taking_;
};

}  // namespace aftercurve
