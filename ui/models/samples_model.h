#pragma once

#include <optional>
#include <unordered_map>
#include <vector>

#include "ui/models/study_table_model.h"

namespace aftercurve {

/// The draws of a study, one a row: the line in the file, the cells, and what is known of the row (excluded,
/// not usable, below the limit). Columns that no row uses are left out unless all are asked for.
class SamplesModel : public StudyTableModel {
    Q_OBJECT

  public:
    enum Role { excludedRole = Qt::UserRole + 1, flawedRole };

    explicit SamplesModel(QObject* parent = nullptr);

    /// Also the columns that no row uses yet: period, nominal time, replicate, remark.
    void setAllColumns(bool all);

    /// Row of the draw that stands at `line` of `file`, where the filter lets it through.
    std::optional<int> rowOfLine(std::string_view file, std::size_t line) const;
    /// Row of the first draw of a subject (and food and visit, where named), nearest to a time where one is
    /// given.
    std::optional<int> rowOfSubject(std::string_view subject, std::string_view food, int visit,
                                    std::optional<double> timeMin) const;
    /// Draws with no concentration at all.
    static std::size_t emptyDraws(const Study& study);

    std::optional<std::size_t> studyColumn(int column) const override;
    bool endsInWords() const override { return true; }
    int columnCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role) const override;
    QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

  protected:
    bool matches(std::size_t studyRow, const QString& text) const override;
    void prepareFilter(const QString& text) override;
    void studyChanged() override;

  private:
    bool isUsed(const TableColumn& column) const;
    int statusColumn() const { return static_cast<int>(shownColumns_.size()) + 1; }
    std::optional<std::size_t> analyteOf(int column) const;
    const Exclusion* exclusionOf(std::size_t draw, std::optional<std::size_t> analyte) const;
    const CellFlaw* flawOf(std::size_t draw, std::size_t analyte) const;
    QString displayText(std::size_t draw, int column) const;
    QString status(std::size_t draw) const;

    bool allColumns_ = false;
    std::vector<std::size_t> shownColumns_;  ///< positions in studyColumns()
    std::vector<int> decimals_;              ///< shown, for each analyte
    std::vector<char> subjectFits_;          ///< the filter, decided once a subject and once a food
    std::vector<char> foodFits_;
    std::unordered_map<std::size_t, std::vector<std::size_t>> flaws_;  ///< draw → positions in Study::flaws
};

}  // namespace aftercurve
