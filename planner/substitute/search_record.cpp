// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/search_record.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <stdexcept>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

std::int64_t magnitude(Length length) {
    return std::abs(length.micrometres());
}

/// True where `a` is at least as good as `b` in every respect.
bool covers(const EvaluatedStack& a, const EvaluatedStack& b) {
    return a.deviation <= b.deviation && a.leg_difference <= b.leg_difference &&
           a.discs_changed <= b.discs_changed && magnitude(a.height_change) <= magnitude(b.height_change) &&
           a.cost <= b.cost;
}

bool better(SearchGoal goal, const EvaluatedStack& a, const EvaluatedStack& b) {
    const auto key = [&](const EvaluatedStack& s) {
        return std::tuple(measureOf(goal, s), s.deviation, s.leg_difference, s.discs_changed,
                          magnitude(s.height_change), s.cost);
    };
    const auto key_a = key(a), key_b = key(b);
    return key_a != key_b ? key_a < key_b : std::tie(a.frame, a.state) < std::tie(b.frame, b.state);
}

} // namespace

std::int64_t measureOf(SearchGoal goal, const EvaluatedStack& stack) {
    switch (goal) {
    case SearchGoal::closest:
        return 0;
    case SearchGoal::fewest_changes:
        return stack.discs_changed;
    case SearchGoal::flattest:
        return magnitude(stack.height_change);
    case SearchGoal::cheapest:
        return stack.cost;
    }
    throw std::logic_error("unknown search goal");
}

void SearchRecord::take(EvaluatedStack stack) {
    m_best = std::min(m_best, stack.deviation);
    for (const EvaluatedStack& known : m_choices) {
        if (covers(known, stack)) return;
    }
    std::erase_if(m_choices, [&](const EvaluatedStack& known) { return covers(stack, known); });
    m_choices.push_back(std::move(stack));
    for (const SearchGoal goal : search_goals) {
        const EvaluatedStack* now = bestIn(goal);
        m_known[static_cast<std::size_t>(goal)] =
            now == nullptr ? Known{} : Known{true, measureOf(goal, *now), now->deviation};
    }
}

void SearchRecord::exclude(std::int64_t stacks) {
    excluded = std::min(countless - stacks, excluded) + stacks;
}

bool SearchRecord::closeEnough() const {
    constexpr double rounding = 1e-9; // of a curve against itself
    return m_best <= std::max({enough, gap, rounding});
}

double SearchRecord::poorestChoice() const {
    return std::max(most_choice_deviation, m_best);
}

const EvaluatedStack* SearchRecord::bestIn(SearchGoal goal) const {
    const EvaluatedStack* best = nullptr;
    for (const EvaluatedStack& stack : m_choices) {
        if (goal != SearchGoal::closest && stack.deviation > poorestChoice()) continue;
        if (best == nullptr || better(goal, stack, *best)) best = &stack;
    }
    return best;
}

double SearchRecord::worthBelow(SearchGoal goal, std::int64_t measure) const {
    if (goal == SearchGoal::closest && enough > 0) return std::min(m_best, std::nextafter(enough, 1.0));
    if (goal == SearchGoal::closest) return m_best - gap;
    const Known& known = m_known[static_cast<std::size_t>(goal)];
    if (!known.any || measure < known.measure) return poorestChoice();
    return measure > known.measure ? 0 : known.deviation - gap;
}

} // namespace shimledger::planner
