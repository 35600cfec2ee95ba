// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/length.h"

#include <array>
#include <chrono>
#include <cstdint>
#include <functional>
#include <vector>

namespace shimledger::planner {

/// A stack that was evaluated.
struct EvaluatedStack {
    std::size_t frame = 0;
    std::vector<int> state;    ///< by group
    double deviation = 0;      ///< weighted; of the leg that deviates most
    double leg_difference = 0; ///< largest part of the pressure that two legs differ by
    int discs_changed = 0;
    Length height_change;
    std::int64_t cost = 0; ///< one stack
};

/// In what a proposal can be the best one. Among equals the closer one is better.
enum class SearchGoal { closest, fewest_changes, flattest, cheapest };
inline constexpr std::array<SearchGoal, 4> search_goals{SearchGoal::closest, SearchGoal::fewest_changes,
                                                        SearchGoal::flattest, SearchGoal::cheapest};

/// What the whole search shares: limits, counters, and the best so far in each respect.
class SearchRecord {
public:
    static constexpr std::int64_t countless = 1'000'000'000'000'000'000;

    std::chrono::steady_clock::time_point start = std::chrono::steady_clock::now();
    std::int64_t examined = 0; ///< curves begun
    std::int64_t excluded = 0; ///< up to `countless`
    std::int64_t unsolved = 0; ///< examined, but no curve was found: nothing is known of them
    bool stopped = false;
    double open_bound = 1e300;           ///< least bound of what was left open
    double most_choice_deviation = 0.10; ///< see SubstituteRules
    double gap = 0;                      ///< stacks closer than the best by less than this are not looked for
    double enough = 0; ///< only a stack as near as this is looked for, and it ends the search; 0: the nearest
    std::function<bool()> may_go_on;

    void take(EvaluatedStack stack);
    void exclude(std::int64_t stacks);
    [[nodiscard]] double best() const { return m_best; }
    /// Nothing can be closer than the best by more than the gap, whatever there is.
    [[nodiscard]] bool closeEnough() const;
    /// Other choices than the closest are taken from stacks that deviate at most this much: as the rules
    /// have it, or as the best does.
    [[nodiscard]] double poorestChoice() const;
    /// Below what deviation a stack of this measure (changes, height or cost; 0 for `closest`) is worth
    /// finding; 0 or less: not at all.
    [[nodiscard]] double worthBelow(SearchGoal goal, std::int64_t measure) const;
    /// None of them is beaten by another in every respect.
    [[nodiscard]] const std::vector<EvaluatedStack>& choices() const { return m_choices; }
    /// The best of the choices; nullptr where there is none.
    [[nodiscard]] const EvaluatedStack* bestIn(SearchGoal goal) const;

private:
    struct Known {
        bool any = false;
        std::int64_t measure = 0;
        double deviation = 0;
    };

    std::vector<EvaluatedStack> m_choices;
    std::array<Known, search_goals.size()> m_known; ///< what bestIn() has, by goal
    double m_best = 1e300;
};

/// What a goal counts.
[[nodiscard]] std::int64_t measureOf(SearchGoal goal, const EvaluatedStack& stack);

} // namespace shimledger::planner
