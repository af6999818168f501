#include "ui/window/edit/fibre_rules_form.h"

#include <QComboBox>
#include <QFormLayout>
#include <QGridLayout>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QSignalBlocker>
#include <QTabWidget>
#include <QVBoxLayout>
#include <algorithm>
#include <array>

#include "core/edit/settings_edits.h"
#include "core/fibre/fibre_methods.h"
#include "core/fibre/fibre_rules.h"
#include "ui/models/look.h"
#include "ui/models/text.h"
#include "ui/window/edit/fibre_rule_rows.h"
#include "ui/window/edit/list_table.h"
#include "ui/window/edit/reason_dialog.h"
#include "ui/window/session.h"

namespace aftercurve {

namespace {

enum PartAnswer { partLeftOut, partIncluded, leftToAuthority };
constexpr std::array bases{FibreBasis::hundredG, FibreBasis::hundredKcal, FibreBasis::serving};

QStringList basisWords() {
    QStringList words;
    for (const FibreBasis basis : bases) {
        words << shown(wordFor(basis));
    }
    return words;
}

bool holds(const std::vector<FibrePart>& parts, FibrePart part) {
    return std::find(parts.begin(), parts.end(), part) != parts.end();
}

}  // namespace

FibreRulesForm::FibreRulesForm(std::vector<FibreRule> rules, QWidget* parent)
    : QWidget(parent),
      rules_(std::move(rules)),
      list_(new QListWidget(this)),
      from_(new QComboBox(this)),
      remove_(new QPushButton(tr("Remove the rule"), this)),
      rule_(new QWidget(this)),
      key_(new QLineEdit(rule_)),
      title_(new QLineEdit(rule_)),
      source_(new QLineEdit(rule_)),
      on_(new QLineEdit(rule_)),
      definition_(new QPlainTextEdit(rule_)),
      methods_(new QLineEdit(rule_)),
      labelPer_(new QComboBox(rule_)),
      fault_(new QLabel(rule_)) {
    auto* row = new QHBoxLayout(this);
    row->setContentsMargins(0, 0, 0, 0);
    row->addWidget(listSide());
    row->addWidget(ruleSide(), 1);
    showList(rules_.empty() ? -1 : 0);
    connect(list_, &QListWidget::currentRowChanged, this, &FibreRulesForm::choose);
}

QWidget* FibreRulesForm::listSide() {
    const int em = fontMetrics().height();
    auto* side = new QWidget(this);
    side->setFixedWidth(em * 15);
    auto* column = new QVBoxLayout(side);
    column->setContentsMargins(0, 0, em / 2, 0);
    list_->setObjectName(QStringLiteral("fibreRules.list"));
    list_->setAccessibleName(tr("Rules of this study"));
    column->addWidget(list_, 1);
    auto* label = new QLabel(tr("Start &from"), side);
    label->setBuddy(from_);
    column->addWidget(label);
    from_->setObjectName(QStringLiteral("fibreRules.from"));
    from_->setAccessibleName(tr("Start from"));
    from_->addItem(tr("an empty rule"), QString());
    for (const FibreRule& rule : builtInFibreRules()) {
        from_->addItem(shown(rule.title), shown(rule.key));
    }
    column->addWidget(from_);
    auto* add = new QPushButton(tr("Add a rule"), side);
    add->setObjectName(QStringLiteral("fibreRules.addRule"));
    remove_->setObjectName(QStringLiteral("fibreRules.removeRule"));
    for (QPushButton* button : {add, remove_}) {
        button->setAutoDefault(false);
        column->addWidget(button);
    }
    connect(add, &QPushButton::clicked, this, &FibreRulesForm::addRule);
    connect(remove_, &QPushButton::clicked, this, &FibreRulesForm::removeRule);
    return side;
}

QWidget* FibreRulesForm::ruleSide() {
    const int em = fontMetrics().height();
    auto* column = new QVBoxLayout(rule_);
    column->setContentsMargins(0, 0, 0, 0);
    auto* form = new QFormLayout;
    const auto add = [&](const QString& label, QLineEdit* field, const char* name, const QString& hint) {
        field->setObjectName(QStringLiteral("fibreRules.") + QLatin1String(name));
        field->setAccessibleName(label);
        field->setPlaceholderText(hint);
        field->setMaxLength(1000);
        form->addRow(label, field);
    };
    add(tr("Key"), key_, "key", tr("a short word; the key of a built-in rule takes its place"));
    add(tr("Title"), title_, "title", tr("the authority"));
    add(tr("Source"), source_, "source", tr("where it stands; “from memory” where it was not read"));
    add(tr("State of"), on_, "on", tr("year-month-day"));
    column->addLayout(form);
    auto* tabs = new QTabWidget(rule_);
    tabs->setObjectName(QStringLiteral("fibreRules.tabs"));
    tabs->setDocumentMode(true);
    tabs->addTab(definitionTab(), tr("What counts as fibre"));
    tabs->addTab(statementsTab(), tr("Statements"));
    tabs->addTab(labelTab(), tr("Amount on the label"));
    column->addWidget(tabs, 1);
    fault_->setObjectName(QStringLiteral("fibreRules.fault"));
    fault_->setWordWrap(true);
    QPalette colours = palette();
    colours.setColor(QPalette::WindowText, windowLook(colours).error);
    fault_->setPalette(colours);
    fault_->hide();
    column->addWidget(fault_);
    rule_->setMinimumWidth(em * 38);
    return rule_;
}

QWidget* FibreRulesForm::definitionTab() {
    const int em = fontMetrics().height();
    auto* tab = new QWidget(rule_);
    auto* column = new QVBoxLayout(tab);
    column->setContentsMargins(0, em / 2, 0, 0);
    definition_->setObjectName(QStringLiteral("fibreRules.definition"));
    definition_->setAccessibleName(tr("Definition"));
    definition_->setPlaceholderText(tr("where the definition stands, and what it says in short"));
    definition_->setTabChangesFocus(true);
    definition_->setFixedHeight(em * 5);
    column->addWidget(definition_);
    auto* grid = new QGridLayout;
    constexpr int rows = static_cast<int>(allFibreParts.size()) / 2;
    for (std::size_t i = 0; i < allFibreParts.size(); ++i) {
        const FibrePart part = allFibreParts[i];
        const QString name = asSentence(shown(labelFor(part)));
        auto* box = new QComboBox(tab);
        box->addItems({tr("not counted"), tr("counted"), tr("left to the authority")});
        box->setObjectName(QStringLiteral("fibreRules.part.") + shown(wordFor(part)));
        box->setAccessibleName(name);
        auto* label = new QLabel(name, tab);
        label->setBuddy(box);
        label->setWordWrap(true);
        const int at = static_cast<int>(i);
        grid->addWidget(label, at % rows, at / rows * 2);
        grid->addWidget(box, at % rows, at / rows * 2 + 1);
        parts_[part] = box;
    }
    grid->setColumnStretch(0, 1);
    grid->setColumnStretch(2, 1);
    column->addLayout(grid);
    auto* form = new QFormLayout;
    methods_->setObjectName(QStringLiteral("fibreRules.methods"));
    methods_->setAccessibleName(tr("Methods that it names"));
    methods_->setPlaceholderText(tr("numbers with a blank between, e.g. 2009.01 2017.16"));
    form->addRow(tr("Methods that it names"), methods_);
    column->addLayout(form);
    column->addStretch(1);
    return tab;
}

QWidget* FibreRulesForm::statementsTab() {
    auto* tab = new QWidget(rule_);
    auto* column = new QVBoxLayout(tab);
    column->setContentsMargins(0, fontMetrics().height() / 2, 0, 0);
    auto* note = new QLabel(tr("A statement is met where one of its rows is; rows with the same words are "
                               "ways of meeting one statement."),
                            tab);
    note->setWordWrap(true);
    column->addWidget(note);
    statements_ = new ListTable(
        QStringLiteral("fibreRules.statements"), tr("Statements"),
        {{tr("Words"), 16}, {tr("At least (g of fibre)"), 11, true}, {tr("In"), 8, false, basisWords()}},
        tab);
    column->addWidget(statements_, 1);
    return tab;
}

QWidget* FibreRulesForm::labelTab() {
    auto* tab = new QWidget(rule_);
    auto* column = new QVBoxLayout(tab);
    column->setContentsMargins(0, fontMetrics().height() / 2, 0, 0);
    auto* form = new QFormLayout;
    labelPer_->setObjectName(QStringLiteral("fibreRules.labelPer"));
    labelPer_->setAccessibleName(tr("The declared amount is of"));
    labelPer_->addItems(basisWords());
    form->addRow(tr("The declared amount is of"), labelPer_);
    column->addLayout(form);
    auto* note = new QLabel(tr("The steps ascend from 0 g. Each writes an amount in one way: to the nearest "
                               "multiple, to significant figures, or by words in its place."),
                            tab);
    note->setWordWrap(true);
    column->addWidget(note);
    rounding_ = new ListTable(QStringLiteral("fibreRules.rounding"), tr("Rounding"),
                              {{tr("Amount (g)"), 7, true},
                               {tr("Begins"), 7, false, stepBeginnings()},
                               {tr("Nearest (g)"), 7, true},
                               {tr("Figures"), 5, true},
                               {tr("Words"), 10}},
                              tab);
    column->addWidget(rounding_, 1);
    return tab;
}

void FibreRulesForm::showList(int current) {
    {
        const QSignalBlocker quiet(list_);
        list_->clear();
        for (const FibreRule& rule : rules_) {
            list_->addItem(rule.title.empty() ? tr("(no title yet)") : shown(rule.title));
        }
        list_->setCurrentRow(current);
    }
    current_ = current;
    rule_->setEnabled(current >= 0);
    remove_->setEnabled(current >= 0);
    showRule(current >= 0 ? rules_[static_cast<std::size_t>(current)] : FibreRule{});
}

void FibreRulesForm::choose(int row) {
    if (row == current_ || row < 0) {
        return;
    }
    if (keepRule()) {
        showList(row);
    } else {
        const QSignalBlocker quiet(list_);
        list_->setCurrentRow(current_);
    }
}

bool FibreRulesForm::keepRule() {
    fault_->hide();
    if (current_ < 0) {
        return true;
    }
    Result<FibreRule> read = readRule();
    if (!read) {
        fault_->setText(
            tr("%1; %2.").arg(asSentence(shown(read.problem().what)), shown(read.problem().remedy)));
        fault_->show();
        return false;
    }
    rules_[static_cast<std::size_t>(current_)] = std::move(read).value();
    return true;
}

void FibreRulesForm::addRule() {
    if (!keepRule()) {
        return;
    }
    FibreRule rule;
    for (const FibreRule& one : builtInFibreRules()) {
        if (one.key == plain(from_->currentData().toString())) {
            rule = one;
        }
    }
    rules_.push_back(std::move(rule));
    showList(static_cast<int>(rules_.size()) - 1);
    key_->setFocus();
}

void FibreRulesForm::removeRule() {
    if (current_ >= 0) {
        fault_->hide();
        rules_.erase(rules_.begin() + current_);
        showList(std::min(current_, static_cast<int>(rules_.size()) - 1));
    }
}

void FibreRulesForm::showRule(const FibreRule& rule) {
    key_->setText(shown(rule.key));
    title_->setText(shown(rule.title));
    source_->setText(shown(rule.source));
    on_->setText(shown(rule.on));
    for (QLineEdit* field : {key_, title_, source_, on_}) {
        field->setCursorPosition(0);
    }
    definition_->setPlainText(shown(rule.definition));
    for (const auto& [part, box] : parts_) {
        box->setCurrentIndex(holds(rule.includes, part)          ? partIncluded
                             : holds(rule.leftToAuthority, part) ? leftToAuthority
                                                                 : partLeftOut);
    }
    QStringList methods;
    for (const std::string& method : rule.methods) {
        methods << shown(method);
    }
    methods_->setText(methods.join(u' '));
    statements_->setRows(rowsOf(rule.statements));
    labelPer_->setCurrentText(shown(wordFor(rule.labelPer)));
    rounding_->setRows(rowsOf(rule.rounding));
}

Result<FibreRule> FibreRulesForm::readRule() const {
    FibreRule rule;
    rule.key = plain(key_->text().simplified());
    rule.title = plain(title_->text().simplified());
    rule.source = plain(source_->text().simplified());
    rule.on = plain(on_->text().simplified());
    rule.definition = plain(definition_->toPlainText().simplified());
    for (const auto& [part, box] : parts_) {
        if (box->currentIndex() == partIncluded) {
            rule.includes.push_back(part);
        } else if (box->currentIndex() == leftToAuthority) {
            rule.leftToAuthority.push_back(part);
        }
    }
    for (const QString& method : methods_->text().simplified().split(u' ', Qt::SkipEmptyParts)) {
        rule.methods.push_back(plain(method));
    }
    Result<std::vector<FibreStatementRule>> statements = statementsIn(statements_->rows());
    if (!statements) {
        return statements.problem();
    }
    rule.statements = std::move(statements).value();
    rule.labelPer = fibreBasisFrom(plain(labelPer_->currentText())).value_or(FibreBasis::hundredG);
    Result<std::vector<FibreRoundingStep>> steps = stepsIn(rounding_->rows());
    if (!steps) {
        return steps.problem();
    }
    rule.rounding = std::move(steps).value();
    return rule;
}

Result<std::vector<FibreRule>> FibreRulesForm::rules() {
    if (current_ >= 0) {
        Result<FibreRule> read = readRule();
        if (!read) {
            return read.problem();
        }
        rules_[static_cast<std::size_t>(current_)] = std::move(read).value();
    }
    return rules_;
}

void askForFibreRules(Session& session, QWidget* parent) {
    ReasonWords words;
    words.title = FibreRulesForm::tr("Rules of this study");
    words.texts = {FibreRulesForm::tr("What an authority counts as fibre and lets a label say, as a table of "
                                      "this study. %1.")
                       .arg(asSentence(shown(checkWithAuthority)))};
    words.reasonLabel = FibreRulesForm::tr("&Because");
    words.placeholder = FibreRulesForm::tr("e.g. read in the authority's guidance, with its date");
    words.button = FibreRulesForm::tr("Keep");
    words.sharesReason = true;
    auto* form = new FibreRulesForm(session.study()->fibre.rules, nullptr);
    const auto act = [&session, form](const Authorship& author, const QString&) -> Result<Done> {
        Result<std::vector<FibreRule>> rules = form->rules();
        if (!rules) {
            return rules.problem();
        }
        SetFibreSettings set{settingsOf(session.study()->fibre)};
        set.settings.rules = std::move(rules).value();
        return session.changeAs({set}, FibreRulesForm::tr("change of the fibre rules"), author);
    };
    auto* dialog = new ReasonDialog(session, QStringLiteral("fibreRules"), words, act, parent);
    dialog->addForm(form);
    dialog->open();
}

}  // namespace aftercurve
