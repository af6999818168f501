#include "ui/window/edit/fibre_rule_rows.h"

#include <QCoreApplication>
#include <algorithm>

#include "core/base/number_text.h"
#include "ui/models/text.h"

namespace aftercurve {

namespace {

struct RowsText {
    Q_DECLARE_TR_FUNCTIONS(FibreRuleRows)
};

QString say(const char* text) {
    return RowsText::tr(text);
}

enum StatementColumn { statementWords, statementG, statementPer };
enum StepColumn { stepFrom, stepAbove, stepNearest, stepFigures, stepWords };

Problem noNumber(const QString& what, const QString& text) {
    Problem problem;
    problem.what = plain(what) + " is '" + plain(text) + "', which is no number";
    problem.remedy = "give a number";
    return problem;
}

}  // namespace

QStringList stepBeginnings() {
    return {say("from it on"), say("above it")};
}

std::vector<QStringList> rowsOf(const std::vector<FibreStatementRule>& statements) {
    std::vector<QStringList> rows;
    for (const FibreStatementRule& statement : statements) {
        for (const FibreThreshold& way : statement.anyOf) {
            rows.push_back(
                {shown(statement.words), shown(plainNumber(way.atLeastG)), shown(wordFor(way.per))});
        }
    }
    return rows;
}

Result<std::vector<FibreStatementRule>> statementsIn(const std::vector<QStringList>& rows) {
    std::vector<FibreStatementRule> statements;
    for (const QStringList& row : rows) {
        const auto grams = numberFrom(row[statementG]);
        if (!grams) {
            return noNumber(say("the amount of the statement “%1”").arg(row[statementWords]),
                            row[statementG]);
        }
        const std::string words = plain(row[statementWords]);
        auto at = std::find_if(statements.begin(), statements.end(),
                               [&words](const FibreStatementRule& one) { return one.words == words; });
        if (at == statements.end()) {
            at = statements.insert(statements.end(), {words, {}});
        }
        at->anyOf.push_back(
            {fibreBasisFrom(plain(row[statementPer])).value_or(FibreBasis::hundredG), *grams});
    }
    return statements;
}

std::vector<QStringList> rowsOf(const std::vector<FibreRoundingStep>& steps) {
    std::vector<QStringList> rows;
    for (const FibreRoundingStep& step : steps) {
        rows.push_back({shown(plainNumber(step.fromG)), stepBeginnings()[step.above ? 1 : 0],
                        step.nearestG == 0.0 ? QString() : shown(plainNumber(step.nearestG)),
                        step.figures == 0 ? QString() : QString::number(step.figures), shown(step.words)});
    }
    return rows;
}

Result<std::vector<FibreRoundingStep>> stepsIn(const std::vector<QStringList>& rows) {
    std::vector<FibreRoundingStep> steps;
    for (const QStringList& row : rows) {
        FibreRoundingStep step;
        const auto from = numberFrom(row[stepFrom]);
        if (!from) {
            return noNumber(say("where a step of the rounding begins"), row[stepFrom]);
        }
        step.fromG = *from;
        step.above = row[stepAbove] == stepBeginnings()[1];
        if (!row[stepNearest].isEmpty()) {
            const auto nearest = numberFrom(row[stepNearest]);
            if (!nearest) {
                return noNumber(say("a multiple of the rounding"), row[stepNearest]);
            }
            step.nearestG = *nearest;
        }
        if (!row[stepFigures].isEmpty()) {
            bool isWhole = false;
            step.figures = row[stepFigures].toInt(&isWhole);
            if (!isWhole) {
                return noNumber(say("the significant figures of the rounding"), row[stepFigures]);
            }
        }
        step.words = plain(row[stepWords]);
        steps.push_back(std::move(step));
    }
    return steps;
}

}  // namespace aftercurve
