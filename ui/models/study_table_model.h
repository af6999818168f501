#pragma once

#include <QAbstractTableModel>
#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "core/edit/edit.h"
#include "core/study/study.h"

namespace aftercurve {

/// One table of a study that can be edited: rows in file order until they are sorted or filtered, cells read
/// from the Study itself when they are shown. A new text in a cell is not set here but asked for
/// (`changesWanted`); the study that comes of it is shown by `updateStudy`.
class StudyTableModel : public QAbstractTableModel {
    Q_OBJECT

  public:
    explicit StudyTableModel(StudyTable table, QObject* parent = nullptr);

    StudyTable table() const { return table_; }
    /// Another study: order and filter begin anew.
    void setStudy(std::shared_ptr<const Study> study);
    /// The same study after an edit: order and filter stay.
    void updateStudy(std::shared_ptr<const Study> study);
    const std::shared_ptr<const Study>& study() const { return study_; }
    /// Rows in which some cell contains the text (case does not matter); empty: all.
    void setFilter(const QString& text);
    const QString& filter() const { return filter_; }
    void setEditable(bool editable) { editable_ = editable; }
    bool isEditable() const { return editable_; }

    /// Row of the Study that stands in a row here, and the reverse where the filter lets it through.
    std::size_t studyRow(int row) const;
    std::optional<int> rowOf(std::size_t studyRow) const;
    /// Column of `columnsOf` that stands in a column here; nothing for a column that is no cell of the Study.
    virtual std::optional<std::size_t> studyColumn(int column) const;
    std::optional<int> columnNamed(std::string_view name) const;
    const std::vector<TableColumn>& studyColumns() const { return columns_; }
    /// Whether the last column is words, which may take the room that is left.
    virtual bool endsInWords() const { return false; }

    int rowCount(const QModelIndex& parent = {}) const override;
    int columnCount(const QModelIndex& parent = {}) const override;
    QVariant data(const QModelIndex& index, int role) const override;
    bool setData(const QModelIndex& index, const QVariant& value, int role) override;
    QVariant headerData(int section, Qt::Orientation orientation, int role) const override;
    Qt::ItemFlags flags(const QModelIndex& index) const override;
    /// By number where the column holds numbers, else by text; empty cells last. Column −1: file order.
    void sort(int column, Qt::SortOrder order) override;

  Q_SIGNALS:
    void changesWanted(const std::vector<aftercurve::Change>& changes, const QString& name);

  protected:
    /// Whether a row contains the text of the filter.
    virtual bool matches(std::size_t studyRow, const QString& text) const;
    /// Called once a filter is set, before `matches`.
    virtual void prepareFilter(const QString&) {}
    /// Called when the study is another one or has changed.
    virtual void studyChanged() {}

  private:
    void arrange();

    StudyTable table_;
    std::shared_ptr<const Study> study_;
    std::vector<TableColumn> columns_;
    QString filter_;
    int sortColumn_ = -1;
    Qt::SortOrder sortOrder_ = Qt::AscendingOrder;
    bool editable_ = true;
    bool arranged_ = false;             ///< `order_` holds, else rows stand as in the study
    std::vector<std::uint32_t> order_;  ///< rows of the study that are shown
};

}  // namespace aftercurve
