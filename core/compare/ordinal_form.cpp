#include "core/compare/ordinal_form.h"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

namespace aftercurve {

namespace {

using Key = std::pair<std::size_t, std::size_t>;  // group, category

/// Which node reaches which; nodes are the groups, then the thresholds.
class Order {
  public:
    Order(std::size_t groups, std::size_t thresholds)
        : groups_(groups), size_(groups + thresholds), reaches_(size_, std::vector<bool>(size_)) {
        for (std::size_t i = 0; i < size_; ++i) {
            reaches_[i][i] = true;
        }
    }

    void addScore(const Key& score) {
        const auto [group, category] = score;
        if (groups_ + category < size_) {
            reaches_[group][groups_ + category] = true;
        }
        if (category > 0) {
            reaches_[groups_ + category - 1][group] = true;
        }
    }

    void close() {
        for (std::size_t via = 0; via < size_; ++via) {
            for (std::size_t from = 0; from < size_; ++from) {
                for (std::size_t to = 0; reaches_[from][via] && to < size_; ++to) {
                    reaches_[from][to] = reaches_[from][to] || reaches_[via][to];
                }
            }
        }
    }

    std::size_t threshold(std::size_t j) const { return groups_ + j; }
    bool reaches(std::size_t from, std::size_t to) const { return reaches_[from][to]; }
    bool together(std::size_t a, std::size_t b) const { return reaches_[a][b] && reaches_[b][a]; }

  private:
    std::size_t groups_;
    std::size_t size_;
    std::vector<std::vector<bool>> reaches_;
};

OrdinalReach reachOf(const Order& order, std::size_t group) {
    return order.together(0, group)  ? OrdinalReach::finite
           : order.reaches(0, group) ? OrdinalReach::rises
           : order.reaches(group, 0) ? OrdinalReach::falls
                                     : OrdinalReach::undetermined;
}

void placeParameters(const Order& order, std::size_t groups, OrdinalForm& form) {
    const std::size_t thresholds = form.categoryCounts.size() - 1;
    form.thresholdAt.assign(thresholds, -1);
    form.chained.assign(thresholds, false);
    form.groupAt.assign(groups, -1);
    for (std::size_t j = 0; j < thresholds; ++j) {
        bool used = false;
        for (std::size_t g = 0; g < groups; ++g) {
            used = used || order.together(order.threshold(j), g);
        }
        form.thresholdIsFinite.push_back(order.together(order.threshold(j), 0));
        if (used) {
            form.thresholdAt[j] = form.parameters++;
            form.chained[j] = j > 0 && order.together(order.threshold(j), order.threshold(j - 1));
        }
    }
    for (std::size_t g = 0; g < groups; ++g) {
        bool first = true;  // the first group of a part stands at 0
        for (std::size_t h = 0; h < g; ++h) {
            first = first && !order.together(g, h);
        }
        if (!first) {
            form.groupAt[g] = form.parameters++;
        }
    }
    ++form.parameters;  // σ
}

}  // namespace

OrdinalForm ordinalForm(std::span<const OrdinalRow> rows, std::size_t groups) {
    OrdinalForm form;
    form.scores = rows.size();
    std::map<std::size_t, std::size_t> countOf;
    for (const OrdinalRow& row : rows) {
        ++countOf[row.category];
    }
    std::map<std::size_t, std::size_t> place;
    for (const auto& [category, count] : countOf) {
        place[category] = form.categoryCounts.size();
        form.categoryCounts.push_back(count);
    }
    std::map<std::size_t, std::vector<Key>> bySubject;
    std::map<Key, std::size_t> cellOf;
    for (const OrdinalRow& row : rows) {
        const Key key{row.group, place[row.category]};
        bySubject[row.subject].push_back(key);
        cellOf[key] = 0;
    }
    Order order(groups, form.categoryCounts.size() - 1);
    for (const auto& [key, unused] : cellOf) {
        order.addScore(key);
    }
    order.close();
    std::vector<std::set<std::size_t>> categoriesOf(groups);
    for (auto& [key, number] : cellOf) {
        const auto [group, category] = key;
        categoriesOf[group].insert(category);
        number = form.cells.size();
        const bool last = category + 1 == form.categoryCounts.size();
        form.cells.push_back({group, category,
                              category > 0 && order.together(group, order.threshold(category - 1)),
                              !last && order.together(group, order.threshold(category))});
    }
    for (std::size_t g = 0; g < groups; ++g) {
        form.groupsWithScores += categoriesOf[g].empty() ? 0U : 1U;
        form.reach.push_back(categoriesOf[g].empty() ? OrdinalReach::noScore : reachOf(order, g));
        form.inOneCategory.push_back(
            categoriesOf[g].size() == 1 &&
            (*categoriesOf[g].begin() == 0 || *categoriesOf[g].begin() + 1 == form.categoryCounts.size()));
    }
    std::map<std::vector<Key>, double> patterns;
    for (auto& [subject, keys] : bySubject) {
        std::sort(keys.begin(), keys.end());
        patterns[keys] += 1.0;
    }
    for (const auto& [keys, subjects] : patterns) {
        OrdinalForm::Pattern pattern{{}, subjects};
        std::size_t counting = 0;
        for (const Key& key : keys) {
            pattern.cells.push_back(cellOf[key]);
            const OrdinalForm::Cell& cell = form.cells[cellOf[key]];
            counting += cell.below || cell.above ? 1U : 0U;
        }
        form.subjectsTellSpread = form.subjectsTellSpread || counting > 1;
        form.patterns.push_back(std::move(pattern));
    }
    placeParameters(order, groups, form);
    return form;
}

}  // namespace aftercurve
