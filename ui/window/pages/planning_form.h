#pragma once

#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QScrollArea>
#include <QString>
#include <QStringList>
#include <QWidget>
#include <cstddef>
#include <optional>

namespace aftercurve {

/// A form of named fields whose rows come and go with the question.
class PlanningForm : public QWidget {
    Q_OBJECT

  public:
    explicit PlanningForm(QWidget* parent);

    /// A field for a number or a text, "." as decimal mark; `name` is its object name.
    QLineEdit* addField(const QString& label, const char* name, const QString& text,
                        const QString& hint = {});
    void addRow(const QString& label, QWidget* field, const char* name);
    void addWide(QWidget* widget);
    /// Shows or hides the row of a field.
    void setRowShown(QWidget* field, bool shown);

    /// The form in an area that scrolls up and down, for the left half of a page.
    QScrollArea* inScrollArea(const QString& accessibleName, QWidget* parent);

  Q_SIGNALS:
    void edited();

  private:
    QFormLayout* rows_;
};

/// Numbers of a form; what cannot be read is kept as the first fault.
class FieldReading {
  public:
    /// 0 where it cannot be read.
    double number(const QLineEdit& field);
    std::optional<double> maybe(const QLineEdit& field);  ///< empty: absent
    std::size_t whole(const QLineEdit& field);
    const QString& fault() const { return fault_; }

  private:
    void refuse(const QLineEdit& field);

    QString fault_;
};

}  // namespace aftercurve
