// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_group.h"
#include "planner/stack/stack_spec.h"

#include <array>
#include <span>
#include <vector>

namespace shimledger::planner {

/// What decides how the discs of one group rub on each other and on the groups beside them, in mm: the
/// distances of neighbouring middle planes, summed over the group's interfaces, each times the part of a
/// force that goes through it (see disc_friction.h).
struct DiscLevers {
    double of_load = 0;     ///< of what comes from the face's side
    double of_contact = 0;  ///< of what goes on to the next group
    double of_membrane = 0; ///< of what the group's membrane carries
    double first_mm = 0;    ///< thickness of its disc nearest to the face
    double last_mm = 0;     ///< and of the one nearest to the piston's far end

    bool operator==(const DiscLevers&) const = default;
};

/// Each of them, for what is done with all alike.
inline constexpr std::array lever_members{&DiscLevers::of_load, &DiscLevers::of_contact,
                                          &DiscLevers::of_membrane, &DiscLevers::first_mm,
                                          &DiscLevers::last_mm};

/// Of one group's rows, in their order.
[[nodiscard]] DiscLevers discLevers(std::span<const DiscRow> rows);

/// By group.
[[nodiscard]] std::vector<DiscLevers> discLevers(const StackSpec& stack, const GroupedStack& grouped);

[[nodiscard]] inline DiscLevers operator*(DiscLevers levers, double factor) {
    for (const auto lever : lever_members) levers.*lever *= factor;
    return levers;
}

/// Sum of the products, term by term.
[[nodiscard]] inline double dot(const DiscLevers& a, const DiscLevers& b) {
    double sum = 0;
    for (const auto lever : lever_members) sum += a.*lever * (b.*lever);
    return sum;
}

} // namespace shimledger::planner
