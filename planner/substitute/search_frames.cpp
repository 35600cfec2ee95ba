// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/search_frames.h"

#include "planner/substitute/group_rows.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr int any_number = 1 << 20;
constexpr std::size_t most_frames = 4000;
constexpr std::size_t spare = 4; // a list may be so many times longer than wanted

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

/// Other ODs that the rules and the drawers allow a group, whatever its neighbours do: wider than the clamp.
std::vector<Length> otherOds(const SubstituteRequest& request, const UsableStock& stock,
                             const std::vector<TargetGroup>& groups, std::size_t g) {
    const TargetGroup& group = groups[g];
    const ValveGeometry& valve = request.target->valve();
    // The face covers the ports and, where there is one, the seat.
    const Length narrowest =
        g == 0 ? std::max(valve.port_outer_diameter, valve.seat_diameter.value_or(Length())) : Length();
    const Length reach = odReach(request.rules, group);
    std::vector<Length> result;
    for (const Length od : stock.ods(group.id)) {
        const Length distance = od > group.od ? od - group.od : group.od - od;
        if (od != group.od && distance <= reach && od > valve.clamp_od && od >= narrowest)
            result.push_back(od);
    }
    return result;
}

/// Neighbours keep their order: one wider than the other stays so, and no two of one bore become one group.
bool sameOrder(const std::vector<TargetGroup>& from, const std::vector<TargetGroup>& to) {
    for (std::size_t g = 1; g < from.size(); ++g) {
        if (from[g - 1].od == to[g - 1].od && from[g].od == to[g].od) continue;
        if (to[g - 1].od == to[g].od || (from[g - 1].od < from[g].od) != (to[g - 1].od < to[g].od))
            return false;
    }
    return true;
}

/// Every way to move `left` more groups, from group `g` on, of which only the orders of the target are kept.
/// A group may go where another one makes room for it.
void moveGroups(const std::vector<TargetGroup>& target, const std::vector<std::vector<Length>>& ods,
                std::size_t g, int left, std::vector<TargetGroup>& moved,
                const std::function<void(const std::vector<TargetGroup>&)>& use) {
    if (left == 0) {
        if (sameOrder(target, moved)) use(moved);
        return;
    }
    for (; g < target.size(); ++g) {
        for (const Length od : ods[g]) {
            moved[g].od = od;
            moveGroups(target, ods, g + 1, left - 1, moved, use);
        }
        moved[g].od = target[g].od;
    }
}

/// True where the drawers can give the group just the discs that the target has, if no other job takes any.
bool asInTarget(const SubstituteRequest& request, const SearchFrame& frame, std::size_t g) {
    const TargetGroup& group = frame.groups[g];
    if (group.od != request.target->rows()[at(group.first_row)].od) return false;
    std::map<Length, std::int64_t> left;
    for (const DiscKind& kind : frame.kinds[g]) left[kind.thickness] += kind.per_stack_alone;
    for (int row = group.first_row; row < group.first_row + group.row_count; ++row) {
        const DiscRow& discs = request.target->rows()[at(row)];
        if ((left[discs.thickness] -= discs.count) < 0) return false;
    }
    return true;
}

/// How thick a group may become when those that may change with it are as thin as they can be. Rings are no
/// part of the height: theirs is bounded by the drawers alone.
Length greatestThickness(const SubstituteRequest& request, const SearchFrame& frame, std::size_t g,
                         bool shared) {
    if (frame.groups[g].ring) {
        Length all;
        for (const DiscKind& kind : frame.kinds[g]) all += kind.per_stack * kind.thickness;
        return all;
    }
    Length greatest = frame.groups[g].thickness + request.rules.height_tolerance;
    std::vector<Length> optional;
    for (std::size_t other = 0; other < frame.groups.size(); ++other) {
        if (other == g || frame.groups[other].ring || frame.kinds[other].empty()) continue;
        Length thinnest = frame.kinds[other].front().thickness;
        for (const DiscKind& kind : frame.kinds[other]) thinnest = std::min(thinnest, kind.thickness);
        if (frame.groups[other].crossover)
            thinnest = frame.groups[other].thickness - request.rules.crossover_gap_tolerance;
        if (frame.groups[other].thickness <= thinnest) continue;
        const Length room = frame.groups[other].thickness - thinnest;
        if (shared || (!frame.free.empty() && frame.free[other]) || !asInTarget(request, frame, other))
            greatest += room;
        else
            optional.push_back(room);
    }
    std::sort(optional.rbegin(), optional.rend());
    for (std::size_t i = 0; i < optional.size() && i < at(mostOtherGroups(request.rules)); ++i)
        greatest += optional[i];
    return greatest;
}

/// Lots of one size may have been measured: the target's own state is the one nearest its nominal curve.
int ownState(const TargetGroup& group, const std::vector<GroupState>& states) {
    int own = -1;
    double least = 0;
    for (std::size_t s = 0; s < states.size(); ++s) {
        const GroupState& state = states[s];
        if (state.discs_changed != 0 || state.discs != group.discs || state.thickness != group.thickness)
            continue;
        const double off = std::abs(state.sums.bending_n_mm - group.bending_n_mm);
        if (own < 0 || off < least) {
            own = static_cast<int>(s);
            least = off;
        }
    }
    return own;
}

/// Makes the frames of one request; they share what their groups have in common.
class FrameMaker {
public:
    FrameMaker(const SubstituteRequest& request, const UsableStock& stock, std::size_t states_wanted,
               const std::function<bool()>& may_go_on, const SharedTerms* terms, bool whole_or_none)
        : m_request(request), m_stock(stock), m_states_wanted(states_wanted), m_may_go_on(may_go_on),
          m_terms(terms), m_whole_or_none(whole_or_none), m_shapes(groupStack(*request.target).shapes) {}

    void add(std::vector<TargetGroup> groups) {
        SearchFrame frame;
        frame.shapes = m_shapes;
        std::map<std::pair<Length, Length>, int> sharing;
        for (std::size_t g = 0; g < groups.size(); ++g) {
            frame.shapes[g].outer_radius_mm = groups[g].od.millimetres() / 2;
            if (groups[g].od != targetOd(groups[g])) ++frame.moved_groups;
            frame.kinds.push_back(m_stock.kinds(groups[g].od, groups[g].id));
            if (++sharing[{groups[g].od, groups[g].id}] > 1) frame.shares_outline = true;
        }
        frame.groups = std::move(groups);
        frame.used = m_stock.usedDiscs();
        for (std::size_t g = 0; m_terms && g < frame.groups.size(); ++g)
            frame.free.push_back(m_terms->contested.at(frame.used)[g] ||
                                 frame.groups[g].od != targetOd(frame.groups[g]));
        for (std::size_t g = 0; g < frame.groups.size(); ++g) {
            const TargetGroup& group = frame.groups[g];
            frame.choices.push_back(choices(frame, g, sharing[{group.od, group.id}] == 1));
            if (inVain()) return;
        }
        list.frames.push_back(std::move(frame));
    }

    /// What is missing already makes the list useless.
    [[nodiscard]] bool inVain() const { return m_whole_or_none && list.cut_short; }

    FrameList list;

private:
    [[nodiscard]] Length targetOd(const TargetGroup& group) const {
        return m_request.target->rows()[at(group.first_row)].od;
    }

    std::shared_ptr<const GroupChoices> choices(const SearchFrame& frame, std::size_t g, bool alone) {
        const TargetGroup& group = frame.groups[g];
        StateLimits limits;
        limits.greatest_thickness = greatestThickness(m_request, frame, g, frame.shares_outline);
        if (group.crossover) {
            limits.least_thickness = group.thickness - m_request.rules.crossover_gap_tolerance;
            limits.greatest_thickness = group.thickness + m_request.rules.crossover_gap_tolerance;
        }
        auto& known = m_known[{g, group.od, limits.greatest_thickness, alone}];
        if (known) return known;
        limits.most_discs = m_request.rules.most_discs;
        limits.collapse = alone;
        limits.sizes_apart = m_request.rules.compare_loading;
        limits.may_go_on = m_may_go_on;
        GroupStateList states = leastChanged(group, frame.kinds[g], limits);
        list.cut_short = list.cut_short || states.cut_short;
        list.more = list.more || states.more_with_changes;
        auto made = std::make_shared<GroupChoices>();
        made->states = std::move(states.states);
        made->tree = StateTree(made->states);
        if (m_request.rules.compare_loading) addLevers(group, frame.kinds[g], *made);
        if (group.od == targetOd(group)) made->base = ownState(group, made->states);
        made->own_states = static_cast<int>(
            std::count_if(made->states.begin(), made->states.end(), [&](const GroupState& state) {
                return made->base >= 0 && state.discs_changed == 0;
            }));
        if (m_terms) made->own_states_alone = ownStatesAlone(group, frame.kinds[g], limits);
        known = made;
        return made;
    }

    /// How the discs of each state rub, in the order that they are built in.
    void addLevers(const TargetGroup& group, const std::vector<DiscKind>& kinds, GroupChoices& made) const {
        for (const GroupState& state : made.states) {
            std::vector<ProposalRow> rows;
            addGroupRows(*m_request.target, group, kinds, state.counts, rows);
            std::vector<DiscRow> discs;
            for (const ProposalRow& row : rows) discs.push_back(row.row);
            made.levers.push_back(discLevers(discs));
        }
        made.lever_ranges.resize(at(made.tree.nodes()));
        for (int n = made.tree.nodes() - 1; n >= 0; --n) {
            const StateTree::Node& node = made.tree.node(n);
            LeverRange& range = made.lever_ranges[at(n)];
            const DiscLevers& first = made.levers[at(node.first)];
            range = {first, first};
            if (node.states() < 2) continue;
            range.take(made.lever_ranges[at(node.lower)]);
            range.take(made.lever_ranges[at(node.upper)]);
        }
    }

    [[nodiscard]] int ownStatesAlone(const TargetGroup& group, std::vector<DiscKind> kinds,
                                     StateLimits limits) const {
        for (DiscKind& kind : kinds) kind.per_stack = kind.per_stack_alone;
        limits.most_changed = 0;
        return static_cast<int>(groupStates(*m_request.target, group, kinds, limits).states.size());
    }

    /// Lists with more and more changes until enough are found; of far too many, those nearest to the
    /// target's sums, or to what is wanted of them, are kept.
    GroupStateList leastChanged(const TargetGroup& group, const std::vector<DiscKind>& kinds,
                                StateLimits limits) const {
        const bool stays = staysAsItIs(m_request.rules, group);
        const int most = stays ? 0 : m_request.rules.most_discs_changed.value_or(any_number);
        GroupStateList found;
        for (int changed = std::min(1, most);; changed = std::min(most, changed + 1)) {
            limits.most_changed = changed;
            found = groupStates(*m_request.target, group, kinds, limits);
            if (changed == most) found.more_with_changes = false; // by the rules
            if (!found.more_with_changes || found.cut_short || found.states.size() >= m_states_wanted) break;
        }
        if (found.states.size() / spare > m_states_wanted) {
            const SubstituteRules& rules = m_request.rules;
            const double stiffer = group.crossover ? 0 : rules.wanted.meanLogUpTo(rules.working_lift_mm);
            const auto distance = [&](const GroupState& state) {
                return std::abs(std::log(state.sums.bending_n_mm / group.bending_n_mm) - stiffer) +
                       std::abs(std::log(state.sums.thickness_mm / group.thickness.millimetres()) - stiffer);
            };
            const auto nearer = [&](const GroupState& a, const GroupState& b) {
                return std::pair(distance(a), a.counts) < std::pair(distance(b), b.counts);
            };
            const auto end = found.states.begin() + static_cast<std::ptrdiff_t>(spare * m_states_wanted);
            std::nth_element(found.states.begin(), end, found.states.end(), nearer);
            found.states.erase(end, found.states.end());
            found.more_with_changes = true;
        }
        return found;
    }

    const SubstituteRequest& m_request;
    const UsableStock& m_stock;
    std::size_t m_states_wanted;
    const std::function<bool()>& m_may_go_on;
    const SharedTerms* m_terms;
    bool m_whole_or_none;
    std::vector<GroupShape> m_shapes;
    std::map<std::tuple<std::size_t, Length, Length, bool>, std::shared_ptr<const GroupChoices>> m_known;
};

} // namespace

FrameList searchFrames(const SubstituteRequest& request, const UsableStock& stock, std::size_t states_wanted,
                       const std::function<bool()>& may_go_on, const SharedTerms* terms, bool whole_or_none) {
    const std::vector<TargetGroup> groups = targetGroups(*request.target);
    FrameMaker maker(request, stock, states_wanted, may_go_on, terms, whole_or_none);
    std::vector<std::vector<Length>> ods;
    for (std::size_t g = 0; g < groups.size(); ++g) ods.push_back(otherOds(request, stock, groups, g));
    const int most = std::min(request.rules.most_groups_moved, static_cast<int>(groups.size()));
    for (int count = 0; count <= most; ++count) {
        std::vector<TargetGroup> moved = groups;
        moveGroups(groups, ods, 0, count, moved, [&](const std::vector<TargetGroup>& frame) {
            if (maker.inVain()) return;
            if (maker.list.frames.size() < most_frames)
                maker.add(frame);
            else
                maker.list.cut_short = true;
        });
    }
    if (maker.inVain()) maker.list.frames.clear();
    return std::move(maker.list);
}

} // namespace shimledger::planner
