// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/frame_groups.h"

#include <map>
#include <utility>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

} // namespace

std::vector<int> groupsThatMustChange(const SearchFrame& frame) {
    std::vector<int> groups;
    const auto baseOf = [&](int g) { return frame.choices[at(g)]->base; };
    const auto countsOf = [&](int g) -> const std::vector<int>& {
        return frame.choices[at(g)]->states[at(baseOf(g))].counts;
    };
    for (int g = 0; g < static_cast<int>(frame.groups.size()); ++g) {
        bool shared_short = false;
        // Two groups of one outline may each be buildable and yet not both: then both are free to change.
        for (int other = 0; other < static_cast<int>(frame.groups.size()); ++other) {
            if (other == g || frame.groups[at(other)].od != frame.groups[at(g)].od ||
                frame.groups[at(other)].id != frame.groups[at(g)].id) {
                continue;
            }
            if (baseOf(g) < 0 || baseOf(other) < 0) continue;
            const std::vector<int>& a = countsOf(g);
            const std::vector<int>& b = countsOf(other);
            // Of one size, whatever it was read to measure: another lot will do.
            std::map<Length, std::int64_t> left;
            for (std::size_t k = 0; k < a.size(); ++k) {
                const DiscKind& kind = frame.kinds[at(g)][k];
                left[kind.thickness] += kind.per_stack - a[k] - b[k];
            }
            for (const auto& [size, pieces] : left) shared_short = shared_short || pieces < 0;
        }
        if (baseOf(g) < 0 || shared_short) groups.push_back(g);
    }
    return groups;
}

std::vector<std::vector<int>> unitsOf(const SearchFrame& frame) {
    std::map<std::pair<Length, Length>, std::vector<int>> units;
    for (int g = 0; g < static_cast<int>(frame.groups.size()); ++g) {
        const TargetGroup& group = frame.groups[static_cast<std::size_t>(g)];
        units[{group.od, group.id}].push_back(g);
    }
    std::vector<std::vector<int>> result;
    result.reserve(units.size());
    for (auto& [outline, groups] : units) result.push_back(std::move(groups));
    return result;
}

} // namespace shimledger::planner
