#pragma once

#include "ui/models/study_table_model.h"

namespace aftercurve {

/// A table of the laboratory or of the diaries. Readings, results of fibre and diary days end in a column
/// that says what is known of the row: excluded, or not usable and why.
class DataModel : public StudyTableModel {
    Q_OBJECT

  public:
    explicit DataModel(StudyTable table, QObject* parent = nullptr);

    /// Row of the study that stands at `line` of the table's file; nothing where none does.
    std::optional<std::size_t> rowOfLine(std::size_t line) const;
    /// The file of the table's rows, as study.json names it; empty where they stand in study.json.
    std::string file() const;

    std::optional<std::size_t> studyColumn(int column) const override;
    bool endsInWords() const override { return hasStatus_; }
    int columnCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role) const override;
    QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

  private:
    int statusColumn() const { return static_cast<int>(studyColumns().size()); }
    const Exclusion* exclusionOf(std::size_t row) const;
    std::string flawOf(std::size_t row) const;
    QString status(std::size_t row) const;

    bool hasStatus_;
};

}  // namespace aftercurve
