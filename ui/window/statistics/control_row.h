#pragma once

#include <QWidget>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace aftercurve {

class FlowLayout;

/// A row of controls with their labels, set like words in a line of text. What a control shows and what it
/// changes is asked of functions; nothing is kept here.
class ControlRow : public QWidget {
    Q_OBJECT

  public:
    /// `name` is the stem of the object names: "model" gives model.choices and model.df.
    ControlRow(const QString& name, QWidget* parent);

    /// One word out of a list.
    struct Word {
        QString text;
        std::string word;
    };

  protected:
    void placeChoice(const QString& key, const QString& label, std::function<std::vector<Word>()> words,
                     std::function<std::string()> get, std::function<void(const std::string&)> set);
    void placeCheck(const QString& key, const QString& label, std::function<bool()> get,
                    std::function<void(bool)> set);
    /// A text that is read on Return or when it is left; `set` answers false where it cannot be read, and the
    /// control then says so and shows again what holds.
    void placeText(const QString& key, const QString& label, const QString& tip, int letters,
                   std::function<QString()> get, std::function<bool(const QString&)> set);
    /// A number, or nothing, in its own text.
    void placeNumber(const QString& key, const QString& label, const QString& tip,
                     std::function<std::optional<double>()> get,
                     std::function<void(std::optional<double>)> set, bool optional);
    void placeButton(const QString& key, const QString& label, std::function<void()> act);

    /// Shows what holds now. Before the first call the controls are empty and change nothing.
    void showAll();

  private:
    void place(const QString& label, QWidget* control);

    QString name_;
    FlowLayout* row_;
    std::vector<std::function<void()>> show_;
    bool filling_ = true;
};

}  // namespace aftercurve
