#pragma once

#include <QWidget>
#include <optional>

#include "ui/takein/take_in_session.h"

class QCheckBox;
class QComboBox;
class QFormLayout;
class QLabel;
class QLineEdit;
class QSpinBox;
class QTableWidget;

namespace aftercurve {

/// How one table is read: text or sheet, header, layout, and where subject, food and visit are written.
class TableForm : public QWidget {
    Q_OBJECT

  public:
    TableForm(TakeInSession& session, QWidget* parent);

    void showTable(std::optional<std::size_t> table);

  private:
    void fill();
    void read();
    void showParts();

    TakeInSession& session_;
    std::optional<std::size_t> table_;
    bool filling_ = false;
    QFormLayout* form_;
    QComboBox* encoding_;
    QComboBox* delimiter_;
    QComboBox* decimal_;
    QSpinBox* headerRow_;
    QComboBox* headerRows_;
    QSpinBox* firstRow_;
    QSpinBox* lastRow_;
    QComboBox* layout_;
    QComboBox* subjectFrom_;
    QLineEdit* subject_;
    QComboBox* foodFrom_;
    QLineEdit* food_;
    QComboBox* visitFrom_;
    QSpinBox* visit_;
    QLineEdit* analyte_;
    QLineEdit* unit_;
    QCheckBox* fillDown_;
};

/// What one column holds.
class ColumnForm : public QWidget {
    Q_OBJECT

  public:
    ColumnForm(TakeInSession& session, QWidget* parent);

    /// `column` counts from 0; `header` is the text above it.
    void showColumn(std::optional<std::size_t> table, std::size_t column, const QString& header);

  private:
    ColumnMapping* mapped(Mapping& mapping) const;
    void fill();
    void read();
    void showParts();

    TakeInSession& session_;
    std::optional<std::size_t> table_;
    std::size_t column_ = 0;
    QString header_;
    bool filling_ = false;
    QFormLayout* form_;
    QLabel* about_;
    QComboBox* role_;
    QComboBox* analyte_;
    QComboBox* unit_;
    QLineEdit* time_;
    QLineEdit* subject_;
    QLineEdit* food_;
    QSpinBox* replicate_;
};

/// Foods or analytes of the study as a table.
class ListForm : public QWidget {
    Q_OBJECT

  public:
    enum class What { foods, analytes };
    ListForm(TakeInSession& session, What what, QWidget* parent);

  private:
    void fill();
    void read();

    TakeInSession& session_;
    What what_;
    QTableWidget* list_;
    QLabel* refusal_;
    bool filling_ = false;
};

/// "glucose, mmol/L" or "subject": what a column holds, for its heading; empty where it is not used.
QString roleText(const TableMapping& table, const ColumnMapping& column);

}  // namespace aftercurve
