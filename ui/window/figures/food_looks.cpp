#include "ui/window/figures/food_looks.h"

#include <QColorDialog>
#include <QComboBox>
#include <QGridLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPainter>
#include <QPushButton>
#include <QVBoxLayout>
#include <algorithm>

#include "core/figure/figure_words.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

const FoodAppearance* lookOf(const FigureSpec& figure, std::string_view food) {
    const auto& foods = figure.style.foods;
    const auto at = std::find_if(foods.begin(), foods.end(),
                                 [&](const FoodAppearance& look) { return look.food == food; });
    return at == foods.end() ? nullptr : &*at;
}

/// A food that is drawn as everywhere needs no entry.
bool saysNothing(const FoodAppearance& look) {
    return look == FoodAppearance{look.food, {}, {}, {}, {}};
}

QComboBox* choice(QWidget* parent, const std::vector<std::pair<QString, std::string>>& words) {
    auto* box = new QComboBox(parent);
    box->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
    box->setMinimumContentsLength(8);
    box->setFocusPolicy(Qt::StrongFocus);
    for (const auto& [text, word] : words) {
        box->addItem(text, shown(word));
    }
    return box;
}

std::vector<std::pair<QString, std::string>> markWords() {
    const std::pair<QString, FoodMark> shapes[] = {{FoodLooks::tr("circle"), FoodMark::circle},
                                                   {FoodLooks::tr("square"), FoodMark::square},
                                                   {FoodLooks::tr("triangle"), FoodMark::triangle},
                                                   {FoodLooks::tr("diamond"), FoodMark::diamond},
                                                   {FoodLooks::tr("triangle, down"), FoodMark::triangleDown}};
    std::vector<std::pair<QString, std::string>> words{{FoodLooks::tr("own mark"), ""}};
    for (const auto& [text, shape] : shapes) {
        words.emplace_back(text, wordFor(shape));
    }
    for (const auto& [text, shape] : shapes) {
        words.emplace_back(FoodLooks::tr("open %1").arg(text), "open-" + std::string{wordFor(shape)});
    }
    return words;
}

std::vector<std::pair<QString, std::string>> dashWords() {
    const std::pair<QString, FoodDash> dashes[] = {{FoodLooks::tr("solid"), FoodDash::solid},
                                                   {FoodLooks::tr("long dashes"), FoodDash::longDash},
                                                   {FoodLooks::tr("dotted"), FoodDash::dotted},
                                                   {FoodLooks::tr("dash and dot"), FoodDash::dashDot},
                                                   {FoodLooks::tr("short dashes"), FoodDash::shortDash},
                                                   {FoodLooks::tr("longest dashes"), FoodDash::extraLong}};
    std::vector<std::pair<QString, std::string>> words{{FoodLooks::tr("own dash"), ""}};
    for (const auto& [text, dash] : dashes) {
        words.emplace_back(text, wordFor(dash));
    }
    return words;
}

QIcon swatch(const QString& colour, int side) {
    QPixmap pixmap(side, side);
    pixmap.fill(Qt::transparent);
    QPainter painter(&pixmap);
    painter.setPen(QColor(0x77, 0x77, 0x77));
    painter.setBrush(isColour(plain(colour)) ? QBrush(QColor(colour)) : QBrush(Qt::NoBrush));
    painter.drawRect(0, 0, side - 1, side - 1);
    return pixmap;
}

}  // namespace

FoodLooks::FoodLooks(FigureFields::Check check, QWidget* parent) : QWidget(parent), check_(std::move(check)) {
    auto* column = new QVBoxLayout(this);
    auto* words =
        new QLabel(tr("The same in every panel of this figure. What is left empty follows the food's "
                      "place in the study."),
                   this);
    words->setWordWrap(true);
    column->addWidget(words);
    grid_ = new QGridLayout;
    column->addLayout(grid_);
    column->addStretch(1);
}

void FoodLooks::setStudy(const Study& study) {
    std::vector<std::pair<std::string, std::string>> foods;
    for (const Food& food : study.foods) {
        foods.emplace_back(food.id, food.label);
    }
    if (foods == foods_ && lines_ != nullptr) {
        return;
    }
    foods_ = std::move(foods);
    all_.clear();
    delete lines_;
    lines_ = new QWidget(this);
    auto* grid = new QGridLayout(lines_);
    grid->setContentsMargins(0, 0, 0, 0);
    grid->setVerticalSpacing(fontMetrics().height() / 4);
    grid_->addWidget(lines_, 0, 0);
    for (const Food& food : study.foods) {
        addLine(food);
    }
}

void FoodLooks::addLine(const Food& food) {
    const std::size_t at = all_.size();
    const QString stem = QStringLiteral("figures.food.") + shown(food.id) + u'.';
    const QString name = shown(food.label);
    Line line{food.id,
              new QLineEdit(lines_),
              new QLineEdit(lines_),
              new QPushButton(lines_),
              choice(lines_, markWords()),
              choice(lines_, dashWords()),
              complaintLabel(stem + QStringLiteral("complaint"), lines_)};
    line.label->setPlaceholderText(name);
    line.colour->setPlaceholderText(tr("own colour"));
    line.colour->setMaxLength(7);
    const auto called = [&](QWidget* widget, const char* key, const QString& what) {
        widget->setObjectName(stem + QLatin1String(key));
        widget->setAccessibleName(tr("%1: %2").arg(name, what));
        widget->setToolTip(widget->accessibleName());
    };
    called(line.label, "label", tr("label in figures"));
    called(line.colour, "colour", tr("colour, as #rrggbb"));
    called(line.pick, "pick", tr("choose a colour"));
    called(line.mark, "mark", tr("mark"));
    called(line.dash, "dash", tr("dash of its curve"));
    auto& grid = *static_cast<QGridLayout*>(lines_->layout());
    const int row = static_cast<int>(at) * 3;
    grid.addWidget(line.label, row, 0, 1, 2);
    auto* colours = new QHBoxLayout;
    colours->addWidget(line.pick);
    colours->addWidget(line.colour, 1);
    grid.addLayout(colours, row, 2);
    grid.addWidget(line.mark, row + 1, 0, 1, 2);
    grid.addWidget(line.dash, row + 1, 2);
    grid.addWidget(line.complaint, row + 2, 0, 1, 3);
    grid.setRowMinimumHeight(row + 2, fontMetrics().height() / 2);
    connect(line.label, &QLineEdit::textEdited, this, [this, at](const QString& text) {
        take(at, QStringLiteral("label"), &FoodAppearance::label, plain(text));
    });
    connect(line.colour, &QLineEdit::textEdited, this, [this, at](const QString& text) {
        take(at, QStringLiteral("colour"), &FoodAppearance::colour, plain(text.trimmed().toLower()));
    });
    connect(line.pick, &QPushButton::clicked, this, [this, at] { pickColour(at); });
    connect(line.mark, &QComboBox::currentIndexChanged, this, [this, at] {
        take(at, QStringLiteral("mark"), &FoodAppearance::mark,
             plain(all_[at].mark->currentData().toString()));
    });
    connect(line.dash, &QComboBox::currentIndexChanged, this, [this, at] {
        take(at, QStringLiteral("dash"), &FoodAppearance::dash,
             plain(all_[at].dash->currentData().toString()));
    });
    all_.push_back(line);
}

void FoodLooks::fillLine(Line& line) {
    const FoodAppearance* look = lookOf(figure_, line.food);
    const FoodAppearance own = look != nullptr ? *look : FoodAppearance{};
    const auto put = [](QLineEdit& edit, const std::string& text) {
        if (edit.text() != shown(text)) {
            edit.setText(shown(text));
        }
    };
    put(*line.label, own.label);
    put(*line.colour, own.colour);
    line.pick->setIcon(swatch(shown(own.colour), fontMetrics().height()));
    line.mark->setCurrentIndex(std::max(0, line.mark->findData(shown(own.mark))));
    line.dash->setCurrentIndex(std::max(0, line.dash->findData(shown(own.dash))));
    complain(*line.complaint, {});
}

void FoodLooks::show(const FigureSpec& figure, bool editable) {
    filling_ = true;
    figure_ = figure;
    for (Line& line : all_) {
        fillLine(line);
    }
    filling_ = false;
    setEnabled(editable);
}

void FoodLooks::take(std::size_t line, const QString& key, std::string FoodAppearance::*member,
                     const std::string& text) {
    if (filling_) {
        return;
    }
    FigureSpec changed = figure_;
    const std::string& food = all_[line].food;
    if (lookOf(changed, food) == nullptr) {
        changed.style.foods.push_back({food, {}, {}, {}, {}});
    }
    for (FoodAppearance& look : changed.style.foods) {
        if (look.food == food) {
            look.*member = text;
        }
    }
    std::erase_if(changed.style.foods, saysNothing);
    const std::vector<Problem> wrong = check_(changed);
    complain(*all_[line].complaint, wrong.empty() ? QString() : wordsOf(wrong.front()));
    if (wrong.empty() && changed != figure_) {
        figure_ = changed;
        all_[line].pick->setIcon(swatch(all_[line].colour->text(), fontMetrics().height()));
        Q_EMIT this->changed(changed, shown(food) + u'.' + key);
    }
}

void FoodLooks::pickColour(std::size_t line) {
    auto* dialog = new QColorDialog(this);
    dialog->setAttribute(Qt::WA_DeleteOnClose);
    if (const QColor now(all_[line].colour->text()); now.isValid()) {
        dialog->setCurrentColor(now);
    }
    connect(dialog, &QColorDialog::colorSelected, this, [this, line](const QColor& colour) {
        take(line, QStringLiteral("colour"), &FoodAppearance::colour, plain(colour.name()));
    });
    dialog->open();
}

}  // namespace aftercurve
