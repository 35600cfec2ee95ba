#include "planner/substitute/search_frames.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

bool clampWide(const StackSpec& target, const TargetGroup& group) {
    return group.od <= target.valve().clamp_od;
}

/// Other ODs that a group may take: same order towards both neighbours, wider than the clamp.
std::vector<Length> otherOds(const SubstituteRequest& request, const UsableStock& stock,
                             const std::vector<TargetGroup>& groups, std::size_t g) {
    const TargetGroup& group = groups[g];
    const SubstituteRules& rules = request.rules;
    std::vector<Length> result;
    if (g == 0 || group.ring || clampWide(*request.target, group)) return result;
    const Length reach = group.crossover       ? rules.crossover_od_tolerance
                         : rules.keep_every_od ? Length()
                                               : rules.od_step;
    for (const Length od : stock.ods(group.id)) {
        const Length distance = od > group.od ? od - group.od : group.od - od;
        if (od == group.od || distance > reach || od <= request.target->valve().clamp_od) continue;
        const auto same_side = [&](const TargetGroup& other) {
            return (other.od < group.od) == (other.od < od) && other.od != od;
        };
        if (!same_side(groups[g - 1])) continue;
        if (g + 1 < groups.size() && !same_side(groups[g + 1])) continue;
        result.push_back(od);
    }
    return result;
}

/// True where the drawers can give the group just the discs that the target has.
bool asInTarget(const SubstituteRequest& request, const SearchFrame& frame, std::size_t g) {
    const TargetGroup& group = frame.groups[g];
    if (group.od != request.target->rows()[at(group.first_row)].od) return false;
    std::map<Length, std::int64_t> left;
    for (const DiscKind& kind : frame.kinds[g]) left[kind.thickness] += kind.per_stack;
    for (int row = group.first_row; row < group.first_row + group.row_count; ++row) {
        const DiscRow& discs = request.target->rows()[at(row)];
        if ((left[discs.thickness] -= discs.count) < 0) return false;
    }
    return true;
}

/// How thick a group may become when those that may change with it are as thin as they can be.
Length greatestThickness(const SubstituteRequest& request, const SearchFrame& frame, std::size_t g,
                         bool shared) {
    Length greatest = frame.groups[g].thickness + request.rules.height_tolerance;
    std::vector<Length> optional;
    for (std::size_t other = 0; other < frame.groups.size(); ++other) {
        if (other == g || frame.kinds[other].empty()) continue;
        Length thinnest = frame.kinds[other].front().thickness;
        for (const DiscKind& kind : frame.kinds[other]) thinnest = std::min(thinnest, kind.thickness);
        if (frame.groups[other].crossover)
            thinnest = frame.groups[other].thickness - request.rules.crossover_gap_tolerance;
        if (frame.groups[other].thickness <= thinnest) continue;
        const Length room = frame.groups[other].thickness - thinnest;
        if (shared || !asInTarget(request, frame, other))
            greatest += room;
        else
            optional.push_back(room);
    }
    std::sort(optional.rbegin(), optional.rend());
    for (std::size_t i = 0; i < optional.size() && i < at(request.rules.most_other_groups_changed); ++i)
        greatest += optional[i];
    return greatest;
}

/// A group under the clamp has no part in the curve: only its one most fitting state is kept.
void keepOnlyBest(const TargetGroup& group, std::vector<GroupState>& states) {
    const auto better = [&](const GroupState& a, const GroupState& b) {
        const auto off = [&](const GroupState& s) {
            return std::abs((s.thickness - group.thickness).micrometres());
        };
        return std::tuple(off(a), a.discs_changed, a.cost, a.discs) <
               std::tuple(off(b), b.discs_changed, b.cost, b.discs);
    };
    const auto best = std::min_element(states.begin(), states.end(), better);
    if (best != states.end()) states = {*best};
}

void fillStates(const SubstituteRequest& request, const UsableStock& stock, SearchFrame& frame,
                bool& limit_hit) {
    const StackSpec& target = *request.target;
    std::map<std::pair<Length, Length>, int> sharing;
    for (const TargetGroup& group : frame.groups) {
        frame.kinds.push_back(stock.kinds(group.od, group.id));
        ++sharing[{group.od, group.id}];
    }
    const bool any_shared =
        std::any_of(sharing.begin(), sharing.end(), [](const auto& s) { return s.second > 1; });
    for (std::size_t g = 0; g < frame.groups.size(); ++g) {
        const TargetGroup& group = frame.groups[g];
        StateLimits limits;
        limits.greatest_thickness = greatestThickness(request, frame, g, any_shared);
        if (group.crossover) {
            limits.least_thickness = group.thickness - request.rules.crossover_gap_tolerance;
            limits.greatest_thickness = group.thickness + request.rules.crossover_gap_tolerance;
        }
        limits.most_discs = request.rules.most_discs;
        limits.most_changed = request.rules.most_discs_changed.value_or(1 << 20);
        limits.collapse = sharing[{group.od, group.id}] == 1;
        std::vector<GroupState> states = groupStates(target, group, frame.kinds[g], limits, limit_hit);
        if (clampWide(target, group)) keepOnlyBest(group, states);
        std::sort(states.begin(), states.end(), [](const GroupState& a, const GroupState& b) {
            return std::tie(a.sums.bending_n_mm, a.sums.membrane_n_per_mm, a.counts) <
                   std::tie(b.sums.bending_n_mm, b.sums.membrane_n_per_mm, b.counts);
        });
        const auto own = std::find_if(states.begin(), states.end(), [&](const GroupState& state) {
            return state.discs_changed == 0 && state.discs == group.discs &&
                   state.thickness == group.thickness;
        });
        const bool unmoved = group.od == target.rows()[at(group.first_row)].od;
        frame.base.push_back(unmoved && own != states.end() ? static_cast<int>(own - states.begin()) : -1);
        // What lies under the clamp does not matter to the curve, so it never counts as short.
        if (clampWide(target, group) && states.size() == 1) frame.base.back() = 0;
        frame.states.push_back(std::move(states));
    }
}

SearchFrame makeFrame(const SubstituteRequest& request, const UsableStock& stock,
                      std::vector<TargetGroup> groups, bool& limit_hit) {
    SearchFrame frame;
    const GroupedStack grouped = groupStack(*request.target);
    frame.shapes = grouped.shapes;
    for (std::size_t g = 0; g < groups.size(); ++g) {
        frame.shapes[g].outer_radius_mm = groups[g].od.millimetres() / 2;
        frame.has_ring = frame.has_ring || groups[g].ring;
        if (groups[g].od != request.target->rows()[at(groups[g].first_row)].od) ++frame.moved_groups;
    }
    frame.groups = std::move(groups);
    fillStates(request, stock, frame, limit_hit);
    return frame;
}

} // namespace

std::vector<SearchFrame> searchFrames(const SubstituteRequest& request, const UsableStock& stock,
                                      bool& state_limit_hit) {
    const std::vector<TargetGroup> groups = targetGroups(*request.target);
    std::vector<SearchFrame> frames{makeFrame(request, stock, groups, state_limit_hit)};
    for (std::size_t g = 1; g < groups.size(); ++g) {
        for (const Length od : otherOds(request, stock, groups, g)) {
            std::vector<TargetGroup> moved = groups;
            moved[g].od = od;
            frames.push_back(makeFrame(request, stock, std::move(moved), state_limit_hit));
        }
    }
    return frames;
}

std::vector<int> groupsThatMustChange(const SearchFrame& frame) {
    std::vector<int> groups;
    for (int g = 0; g < static_cast<int>(frame.groups.size()); ++g) {
        bool shared_short = false;
        // Two groups of one outline may each be buildable and yet not both: then both are free to change.
        for (int other = 0; other < static_cast<int>(frame.groups.size()); ++other) {
            if (other == g || frame.groups[at(other)].od != frame.groups[at(g)].od ||
                frame.groups[at(other)].id != frame.groups[at(g)].id) {
                continue;
            }
            if (frame.base[at(g)] < 0 || frame.base[at(other)] < 0) continue;
            const std::vector<int>& a = frame.states[at(g)][at(frame.base[at(g)])].counts;
            const std::vector<int>& b = frame.states[at(other)][at(frame.base[at(other)])].counts;
            for (std::size_t k = 0; k < a.size(); ++k) {
                shared_short = shared_short || a[k] + b[k] > frame.kinds[at(g)][k].per_stack;
            }
        }
        if (frame.base[at(g)] < 0 || shared_short) groups.push_back(g);
    }
    return groups;
}

} // namespace shimledger::planner
