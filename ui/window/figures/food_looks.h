#pragma once

#include <QWidget>
#include <memory>
#include <vector>

#include "ui/window/figures/figure_fields.h"

class QComboBox;
class QGridLayout;
class QLineEdit;
class QPushButton;

namespace aftercurve {

/// How each food is drawn in one figure: its label, colour, mark and dash. What is left empty follows from
/// the food's place in the study.
class FoodLooks : public QWidget {
    Q_OBJECT

  public:
    FoodLooks(FigureFields::Check check, QWidget* parent);

    void setStudy(const Study& study);
    void show(const FigureSpec& figure, bool editable);

  Q_SIGNALS:
    void changed(const aftercurve::FigureSpec& figure, const QString& key);

  private:
    struct Line {
        std::string food;
        QLineEdit* label;
        QLineEdit* colour;
        QPushButton* pick;
        QComboBox* mark;
        QComboBox* dash;
        QLabel* complaint;
    };

    void addLine(const Food& food);
    void take(std::size_t line, const QString& key, std::string FoodAppearance::*member,
              const std::string& text);
    void pickColour(std::size_t line);
    void fillLine(Line& line);

    FigureFields::Check check_;
    QGridLayout* grid_;
    QWidget* lines_ = nullptr;
    std::vector<Line> all_;
    std::vector<std::pair<std::string, std::string>> foods_;  ///< ids and labels that the lines are made of
    FigureSpec figure_;
    bool filling_ = false;
};

}  // namespace aftercurve
