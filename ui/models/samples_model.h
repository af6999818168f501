#pragma once

#include <QAbstractTableModel>
#include <memory>
#include <optional>
#include <unordered_map>
#include <vector>

#include "core/study/study.h"

namespace aftercurve {

/// The draws of a study, one a row in file order, read from the Study itself: a cell costs nothing until it
/// is shown. The filter keeps a list of draw numbers and no other copy.
class SamplesModel : public QAbstractTableModel {
    Q_OBJECT

  public:
    enum Column {
        lineColumn,
        subjectColumn,
        foodColumn,
        visitColumn,
        periodColumn,
        timeColumn,
        firstAnalyte
    };
    enum Role { excludedRole = Qt::UserRole + 1, flawedRole };

    explicit SamplesModel(QObject* parent = nullptr);

    void setStudy(std::shared_ptr<const Study> study);
    /// Draws whose subject, food label or food id contains the text (case does not matter); empty: all.
    void setFilter(const QString& text);

    /// Row of the draw that stands at `line` of `file`, where the filter lets it through.
    std::optional<int> rowOf(std::string_view file, std::size_t line) const;
    /// Row of the first draw of a subject (and food, where one is named).
    std::optional<int> rowOfSubject(std::string_view subject, std::string_view food) const;
    /// Draws with no concentration at all.
    static std::size_t emptyDraws(const Study& study);

    int rowCount(const QModelIndex& parent = {}) const override;
    int columnCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role) const override;
    QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

  private:
    int remarkColumn() const;
    std::size_t drawAt(int row) const;
    const Exclusion* exclusionOf(const Draw& draw, std::optional<std::size_t> analyte) const;
    const CellFlaw* flawOf(std::size_t draw, std::size_t analyte) const;
    QString cellText(std::size_t draw, int column) const;
    QString remark(std::size_t draw) const;
    QString exclusionText(const Exclusion& exclusion) const;

    std::shared_ptr<const Study> study_;
    std::vector<int> decimals_;  ///< shown, for each analyte
    bool filtered_ = false;
    std::vector<std::uint32_t> kept_;                                  ///< draws shown, where filtered
    std::unordered_map<std::size_t, std::vector<std::size_t>> flaws_;  ///< draw → positions in Study::flaws
};

}  // namespace aftercurve
