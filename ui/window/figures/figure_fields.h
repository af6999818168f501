#pragma once

#include <QWidget>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "core/base/problem.h"
#include "core/figure/figure_spec.h"
#include "core/study/study.h"

class QComboBox;
class QFormLayout;
class QLabel;

namespace aftercurve {

/// A form of a figure, field by field. Every field speaks in text: it says what the figure has, and puts a
/// text into a copy of the figure. A copy that cannot be drawn is not handed on; beside the field stands why.
class FigureFields : public QWidget {
    Q_OBJECT

  public:
    /// What keeps the figure from being used; empty: nothing.
    using Check = std::function<std::vector<Problem>(const FigureSpec&)>;

    /// Object names are `name` and the key of the field: "figures.panel.low".
    FigureFields(QString name, Check check, QWidget* parent);

    using Get = std::function<std::string(const FigureSpec&, const PanelSpec&)>;
    /// False: the text cannot be read.
    using Set = std::function<bool(FigureSpec&, PanelSpec&, const std::string&)>;
    struct Word {
        QString text;
        std::string word;
    };
    using Words = std::function<std::vector<Word>(const Study&)>;

    void addHeading(const QString& text);
    void addText(const QString& key, const QString& label, Get get, Set set, const QString& hint = {});
    void addLongText(const QString& key, const QString& label, Get get, Set set, const QString& hint = {});
    /// A choice from words that hang on the study. A word of the figure that is not among them is kept, and
    /// shown as it stands.
    void addChoice(const QString& key, const QString& label, Words words, Get get, Set set);
    void addCheck(const QString& key, const QString& label, Get get, Set set);
    void addWidget(QWidget* widget);

    /// Words of the choices anew.
    void setStudy(std::shared_ptr<const Study> study);
    /// Shows a figure and one of its panels. What is being typed stays where it says the same.
    void show(const FigureSpec& figure, std::size_t panel, bool editable);

  Q_SIGNALS:
    /// The figure with the field's text in it; it can be used.
    void changed(const aftercurve::FigureSpec& figure, const QString& key);

  private:
    struct Field {
        QString key;
        QWidget* control = nullptr;
        QLabel* complaint = nullptr;
        Get get;
        Set set;
        Words words;
        std::function<void(const QString&)> put;  ///< shows a text in the control
    };

    QLabel* place(const QString& label, QWidget* control, const QString& key);
    Field& add(const QString& key, QWidget* control, QLabel* complaint, Get get, Set set);
    void take(std::size_t field, const std::string& text);
    void fill(Field& field);

    QString name_;
    Check check_;
    QFormLayout* form_;
    std::vector<std::unique_ptr<Field>> fields_;
    std::shared_ptr<const Study> study_;
    FigureSpec figure_;
    std::size_t panel_ = 0;
    bool filling_ = false;
};

/// "12.5", or empty where there is no number.
std::string numberIn(const std::optional<double>& number);
/// The number that a text is; a decimal comma is read as a point. False where it is none, or where it is
/// empty and may not be.
bool readNumber(const std::string& text, double& number);
bool readNumber(const std::string& text, std::optional<double>& number);

/// A small label in the ink of errors, hidden while it says nothing.
QLabel* complaintLabel(const QString& objectName, QWidget* parent);
void complain(QLabel& label, const QString& words);
/// "Width 5 mm: choose 20 to 400 mm"
QString wordsOf(const Problem& problem);

}  // namespace aftercurve
