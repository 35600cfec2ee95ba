// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/disc_friction.h"
#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/lift_model.h"
#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <random>
#include <set>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

namespace shimledger::planner::test {

/// Every stack that the rules allow, counted out from the rules as they are told to the user, and the curve
/// of each: knows no state, tree, box, bound, model of a bound or other code of the search. No rings; lots
/// that were read only for one leg, which gets just the discs that are counted out.
class RuleBook {
public:
    /// A disc of a stack as it lies in the drawers: thickness as marked and as it is, in micrometres.
    using Disc = std::pair<std::int64_t, std::int64_t>;
    using Counts = std::map<Disc, int>;
    struct Stack {
        std::vector<std::int64_t> ods;
        std::vector<Counts> groups;
        auto operator<=>(const Stack&) const = default;
    };

    RuleBook(const SubstituteRequest& request, std::size_t most_stacks)
        : m_request(request), m_rules(request.rules), m_most(most_stacks) {
        for (const DiscRow& row : request.target->rows()) {
            const std::int64_t od = row.od.micrometres();
            if (m_target.empty() || m_target.back().od != od) m_target.push_back({od, {}, 0, 0, false, {}});
            Group& group = m_target.back();
            group.wanted[row.thickness.micrometres()] += row.count;
            group.thickness += row.count * row.thickness.micrometres();
            group.discs += row.count;
            group.rows.insert(static_cast<int>(&row - request.target->rows().data()) + 1);
            m_height += row.count * row.thickness.micrometres();
        }
        for (std::size_t g = 1; g + 1 < m_target.size(); ++g)
            m_target[g].crossover =
                m_target[g].od < m_target[g - 1].od && m_target[g].od < m_target[g + 1].od;
        for (const Drawers& drawers : views()) {
            std::vector<std::int64_t> ods;
            for (const Group& group : m_target) ods.push_back(group.od);
            orders(drawers, 0, ods);
        }
    }

    [[nodiscard]] bool tooMany() const { return m_stacks.size() > m_most || m_steps > most_steps; }
    [[nodiscard]] const std::set<Stack>& stacks() const { return m_stacks; }

    /// The least deviation of all, the largest over many lifts; none where no stack has a curve.
    /// `closely`: so many lifts of a stack that may be the best.
    [[nodiscard]] std::optional<double> least(const GridOptions& grid, int closely = 1500) const {
        const StackSpec& itself = m_request.curve_of ? *m_request.curve_of : *m_request.target;
        const GroupedStack target = groupStack(itself);
        const std::vector<double> lifts = comparisonLifts(m_rules.working_lift_mm, 60);
        const LiftModel own(itself.valve(), target.shapes, grid);
        LiftWorkspace room = own.makeWorkspace();
        std::vector<double> wanted(lifts.size());
        const std::optional<Factors> own_factors = factorsOf(own, room, target.sums, itself);
        if (!own_factors || !pressures(own, room, target.sums, *own_factors, lifts, wanted)) return {};
        const std::vector<double> many = comparisonLifts(m_rules.working_lift_mm, closely);
        std::vector<double> wanted_many(many.size());
        if (!pressures(own, room, target.sums, *own_factors, many, wanted_many)) return {};
        for (std::size_t i = 0; i < lifts.size(); ++i) wanted[i] *= factorAt(lifts[i]);
        for (std::size_t i = 0; i < many.size(); ++i) wanted_many[i] *= factorAt(many[i]);
        std::optional<double> least;
        std::vector<std::int64_t> ods;
        std::optional<LiftModel> model;
        std::optional<LiftWorkspace> workspace;
        std::set<std::vector<Disc>> seen; // Counts' own pairs among them, with how many of each behind
        for (const Stack& stack : m_stacks) {
            if (stack.ods != ods) {
                ods = stack.ods;
                std::vector<GroupShape> shapes = groupStack(*m_request.target).shapes;
                for (std::size_t g = 0; g < ods.size(); ++g)
                    shapes[g].outer_radius_mm = static_cast<double>(ods[g]) / 2000;
                model.emplace(m_request.target->valve(), shapes, grid);
                workspace.emplace(model->makeWorkspace());
                seen.clear();
            }
            std::vector<GroupSums> sums;
            std::vector<Disc> key;
            for (const Counts& counts : stack.groups) {
                GroupSums group;
                for (const auto& [disc, count] : counts) {
                    const GroupSums part =
                        sumsOf(count, static_cast<double>(disc.second) / 1000,
                               m_request.target->rows().front().material.elastic_modulus_mpa);
                    group.thickness_mm += part.thickness_mm;
                    group.bending_n_mm += part.bending_n_mm;
                    group.membrane_n_per_mm += part.membrane_n_per_mm;
                }
                sums.push_back(group);
                key.emplace_back(std::llround(group.thickness_mm * 1e6),
                                 std::llround(group.bending_n_mm * 1e3));
                for (const auto& [disc, count] : counts) {
                    if (m_rules.compare_loading) key.insert(key.end(), {disc, {count, 0}});
                }
            }
            const auto factors =
                factorsOf(*model, *workspace, sums, m_rules.compare_loading ? builtOf(stack) : itself);
            if (!factors) continue;
            if (!seen.insert(key).second) continue;
            const std::optional<double> deviation =
                deviationOf(*model, *workspace, sums, *factors, lifts, wanted, least.value_or(1e300));
            if (!deviation || (least && *deviation >= *least)) continue;
            // It may be larger between those lifts.
            const std::optional<double> whole =
                deviationOf(*model, *workspace, sums, *factors, many, wanted_many, least.value_or(1e300));
            if (whole && (!least || *whole < *least)) least = whole;
        }
        return least;
    }

    /// The stack of a proposal, for one leg.
    [[nodiscard]] static Stack stackOf(const SubstituteProposal& proposal) {
        Stack stack;
        for (const ProposalRow& row : proposal.rows) {
            const std::int64_t od = row.row.od.micrometres();
            if (stack.ods.empty() || stack.ods.back() != od) {
                stack.ods.push_back(od);
                stack.groups.emplace_back();
            }
            stack.groups.back()[{row.row.thickness.micrometres(), row.row.thickness.micrometres()}] +=
                row.row.count;
        }
        return stack;
    }

    /// The same stack with all discs as they are marked.
    [[nodiscard]] static Stack asMarked(const Stack& stack) {
        Stack marked{stack.ods, {}};
        for (const Counts& counts : stack.groups) {
            marked.groups.emplace_back();
            for (const auto& [disc, count] : counts) marked.groups.back()[{disc.first, disc.first}] += count;
        }
        return marked;
    }

private:
    struct Group {
        std::int64_t od = 0;
        std::map<std::int64_t, int> wanted; ///< by thickness
        std::int64_t thickness = 0;
        int discs = 0;
        bool crossover = false;
        std::set<int> rows;
    };
    using Drawers = std::map<std::int64_t, Counts>; ///< by OD: how many of each disc a stack may have

    /// What one stack may be made of: all discs, or, where new and used are not mixed, one kind of them.
    [[nodiscard]] std::vector<Drawers> views() const {
        std::vector<std::optional<bool>> conditions;
        if (m_rules.only_new)
            conditions = {false};
        else if (m_rules.mix_new_and_used)
            conditions = {std::nullopt};
        else
            conditions = {false, true};
        std::vector<Drawers> views;
        for (const std::optional<bool>& used : conditions) {
            std::map<std::int64_t, Counts> held;
            for (const StockItem& item : m_request.stock) {
                const auto& alone = m_rules.bins_left_alone;
                const bool left = std::find(alone.begin(), alone.end(), item.bin) != alone.end();
                if (left || item.id != m_request.target->valve().shim_id || (used && item.used != *used))
                    continue;
                const Length is = item.measured.value_or(item.thickness);
                held[item.od.micrometres()][{item.thickness.micrometres(), is.micrometres()}] +=
                    static_cast<int>(item.available);
            }
            Drawers drawers;
            for (const auto& [od, counts] : held) {
                for (const auto& [disc, count] : counts) {
                    const int each = static_cast<int>((count - m_rules.keep_in_stock) / m_request.legs);
                    if (count > m_rules.keep_in_stock && each > 0) drawers[od][disc] = each;
                }
            }
            views.push_back(std::move(drawers));
        }
        return views;
    }

    /// The wish as it is told: straight lines between the points, level outside.
    [[nodiscard]] double factorAt(double lift_mm) const {
        const auto& points = m_rules.wanted.points();
        for (std::size_t i = 0; i < points.size(); ++i) {
            if (lift_mm > points[i].lift_mm) continue;
            if (i == 0) return points[0].factor;
            const double rise = points[i].factor - points[i - 1].factor;
            return points[i].factor -
                   rise * (points[i].lift_mm - lift_mm) / (points[i].lift_mm - points[i - 1].lift_mm);
        }
        return points.back().factor;
    }

    [[nodiscard]] bool wished() const {
        for (const WantedPoint& point : m_rules.wanted.points()) {
            if (point.factor != 1) return true;
        }
        return false;
    }

    [[nodiscard]] bool stays(std::size_t g) const {
        const auto& rows = m_rules.rows_that_stay;
        return std::any_of(rows.begin(), rows.end(), [&](int row) { return m_target[g].rows.contains(row); });
    }

    [[nodiscard]] std::int64_t reach(std::size_t g) const {
        const Group& group = m_target[g];
        if (stays(g)) return 0;
        if (group.od <= m_request.target->valve().clamp_od.micrometres()) return 0;
        const bool named = std::any_of(group.rows.begin(), group.rows.end(), [&](int row) {
            const auto& may = m_rules.rows_that_may_move;
            return std::find(may.begin(), may.end(), row) != may.end();
        });
        const std::int64_t step = m_rules.od_step.micrometres();
        const std::int64_t crossover = m_rules.crossover_od_tolerance.micrometres();
        if (group.crossover) return named ? std::max(step, crossover) : crossover;
        return named || (g == 0 ? !m_rules.face_od_fixed : !m_rules.keep_every_od) ? step : 0;
    }

    /// Every order of diameters.
    void orders(const Drawers& drawers, std::size_t g, std::vector<std::int64_t>& ods) {
        if (tooMany()) return;
        if (g == m_target.size()) {
            int moved = 0;
            for (std::size_t i = 0; i < ods.size(); ++i) moved += ods[i] != m_target[i].od;
            if (moved <= m_rules.most_groups_moved) sets(drawers, ods);
            return;
        }
        const std::int64_t own = m_target[g].od, most = reach(g);
        std::set<std::int64_t> places{own};
        for (const auto& [od, discs] : drawers) {
            const ValveGeometry& valve = m_request.target->valve();
            const std::int64_t covers = std::max(valve.port_outer_diameter.micrometres(),
                                                 valve.seat_diameter.value_or(Length()).micrometres());
            if (std::abs(od - own) <= most && od > valve.clamp_od.micrometres() && (g > 0 || od >= covers))
                places.insert(od);
        }
        for (const std::int64_t od : places) {
            ods[g] = od;
            const bool order =
                g == 0 || (ods[g - 1] != od && (ods[g - 1] < od) == (m_target[g - 1].od < m_target[g].od));
            if (order) orders(drawers, g + 1, ods);
        }
        ods[g] = own;
    }

    /// As marked: whether the drawers have the target's discs for all these groups together.
    [[nodiscard]] bool hasOwn(const Drawers& drawers, const std::vector<std::size_t>& groups) const {
        std::map<std::pair<std::int64_t, std::int64_t>, int> wanted, held;
        for (const std::size_t g : groups) {
            for (const auto& [thickness, count] : m_target[g].wanted)
                wanted[{m_target[g].od, thickness}] += count;
        }
        for (const auto& [od, discs] : drawers) {
            for (const auto& [disc, count] : discs) held[{od, disc.first}] += count;
        }
        return std::all_of(wanted.begin(), wanted.end(),
                           [&](const auto& size) { return held[size.first] >= size.second; });
    }

    /// Which groups may change: those that must, and any few others.
    void sets(const Drawers& drawers, const std::vector<std::int64_t>& ods) {
        std::vector<bool> must(ods.size());
        for (std::size_t g = 0; g < ods.size(); ++g)
            must[g] = ods[g] != m_target[g].od || !hasOwn(drawers, {g});
        const std::vector<bool> by_itself = must;
        for (std::size_t a = 0; a < ods.size(); ++a) {
            for (std::size_t b = 0; b < ods.size(); ++b) {
                const bool share =
                    a != b && m_target[a].od == m_target[b].od && !by_itself[a] && !by_itself[b];
                if (share && !hasOwn(drawers, {a, b})) must[a] = true;
            }
        }
        for (std::size_t g = 0; g < ods.size(); ++g) {
            if (stays(g) && by_itself[g]) return; // it would have to change
            if (stays(g)) must[g] = false;
        }
        if (wished()) { // all may change
            std::vector<bool> changes;
            for (std::size_t g = 0; g < ods.size(); ++g) changes.push_back(!stays(g));
            Stack stack{ods, std::vector<Counts>(ods.size())};
            Drawers left = drawers;
            fill(0, changes, left, stack, {});
            return;
        }
        for (unsigned chosen = 0; chosen < 1U << ods.size(); ++chosen) {
            int others = 0;
            bool twice = false;
            std::vector<bool> changes = must;
            for (std::size_t g = 0; g < ods.size(); ++g) {
                if ((chosen >> g & 1U) == 0) continue;
                twice = twice || must[g] || stays(g);
                changes[g] = true;
                ++others;
            }
            if (twice || others > m_rules.most_other_groups_changed) continue;
            Stack stack{ods, std::vector<Counts>(ods.size())};
            Drawers left = drawers;
            fill(0, changes, left, stack, {});
        }
    }

    struct Sofar {
        std::int64_t height = 0;
        int discs = 0, changed = 0;
    };

    static constexpr long most_steps = 2'000'000;

    void fill(std::size_t g, const std::vector<bool>& changes, Drawers& left, Stack& stack, Sofar sofar) {
        ++m_steps;
        if (tooMany() || sofar.discs > m_rules.most_discs) return;
        if (sofar.height > m_height + m_rules.height_tolerance.micrometres()) return;
        if (m_rules.most_discs_changed && sofar.changed > *m_rules.most_discs_changed) return;
        if (g == stack.ods.size()) {
            if (std::abs(sofar.height - m_height) <= m_rules.height_tolerance.micrometres())
                m_stacks.insert(stack);
            return;
        }
        count(g, left[stack.ods[g]].begin(), changes, left, stack, sofar, 0, 0);
    }

    /// Counts out group g disc by disc.
    void count(std::size_t g, Counts::iterator disc, const std::vector<bool>& changes, Drawers& left,
               Stack& stack, const Sofar& sofar, std::int64_t thickness, int discs) {
        ++m_steps;
        const Group& group = m_target[g];
        if (tooMany()) return;
        if (disc == left[stack.ods[g]].end()) {
            if (discs == 0) return;
            if (group.crossover &&
                std::abs(thickness - group.thickness) > m_rules.crossover_gap_tolerance.micrometres())
                return;
            std::map<std::int64_t, int> got;
            for (const auto& [of, number] : stack.groups[g]) got[of.first] += number;
            int missing = group.discs;
            if (stack.ods[g] == group.od) {
                for (const auto& [size, number] : group.wanted) missing -= std::min(number, got[size]);
            }
            const int changed = std::max(missing, discs - group.discs);
            if (!changes[g] && changed > 0) return;
            fill(g + 1, changes, left, stack,
                 {sofar.height + thickness, sofar.discs + discs, sofar.changed + changed});
            return;
        }
        const auto next = std::next(disc);
        const int held = disc->second;
        for (int number = 0; number <= held; ++number) {
            const std::int64_t with = thickness + number * disc->first.first;
            if (sofar.height + with > m_height + m_rules.height_tolerance.micrometres()) break;
            if (number > 0) stack.groups[g][disc->first] = number;
            disc->second = held - number;
            count(g, next, changes, left, stack, sofar, with, discs + number);
        }
        disc->second = held;
        stack.groups[g].erase(disc->first);
    }

    /// The stack as it is built: of each group the target's rows in their order, as many as there are, then
    /// the sizes that are new there, thinnest first; all as marked.
    [[nodiscard]] StackSpec builtOf(const Stack& stack) const {
        std::vector<DiscRow> rows;
        for (std::size_t g = 0; g < stack.groups.size(); ++g) {
            std::map<std::int64_t, int> left;
            for (const auto& [disc, count] : stack.groups[g]) left[disc.first] += count;
            const auto add = [&](const DiscRow& like, std::int64_t thickness, int count) {
                if (count == 0) return;
                rows.push_back(like);
                rows.back().od = Length::fromMicrometres(stack.ods[g]);
                rows.back().thickness = Length::fromMicrometres(thickness);
                rows.back().count = count;
                left[thickness] -= count;
            };
            const std::set<int>& of_group = m_target[g].rows;
            for (const int number : of_group) {
                const DiscRow& row = m_request.target->rows()[static_cast<std::size_t>(number) - 1];
                const std::int64_t size = row.thickness.micrometres();
                const bool again = std::any_of(of_group.upper_bound(number), of_group.end(), [&](int later) {
                    return m_request.target->rows()[static_cast<std::size_t>(later) - 1].thickness ==
                           row.thickness;
                });
                add(row, size, again ? std::min(row.count, left[size]) : left[size]);
            }
            const std::map<std::int64_t, int> new_sizes = left;
            const DiscRow& like = m_request.target->rows()[static_cast<std::size_t>(*of_group.begin()) - 1];
            for (const auto& [size, count] : new_sizes) add(like, size, count);
        }
        return {m_request.target->valve(), rows};
    }

    /// By which factor friction raises the pressure at the lifts of comparison, where the rules compare that;
    /// none where that is not known.
    using Factors = std::map<double, double>;
    [[nodiscard]] std::optional<Factors> factorsOf(const LiftModel& model, LiftWorkspace& workspace,
                                                   const std::vector<GroupSums>& sums,
                                                   const StackSpec& stack) const {
        Factors factors;
        if (!m_rules.compare_loading) return factors;
        const std::vector<double> known = comparisonLifts(m_rules.working_lift_mm);
        std::vector<StackState> states;
        if (!model.statesAtLifts(sums, known, m_rules.regime, workspace, states).converged) return {};
        GroupedStack grouped = groupStack(stack);
        grouped.sums = sums;
        const DiscFriction friction(stack, grouped, model);
        for (const StackState& state : states) {
            if (state.lift_slope_mm_per_mpa <= 0) return {};
            const double lower = friction.halfWidth(state, m_rules.regime, 0.12).lift_mm;
            factors[known[factors.size()]] = 1 + lower / state.lift_slope_mm_per_mpa / state.pressure_mpa;
        }
        return factors;
    }

    /// As the rules compare them: in the middle of the loop of friction, or while the pressure rises, with
    /// the factors linear between the lifts.
    [[nodiscard]] bool pressures(const LiftModel& model, LiftWorkspace& workspace,
                                 const std::vector<GroupSums>& sums, const Factors& factors,
                                 std::span<const double> lifts, std::span<double> found) const {
        if (!model.pressuresAtLifts(sums, lifts, m_rules.regime, workspace, found).converged) return false;
        for (std::size_t i = 0; !factors.empty() && i < lifts.size(); ++i) {
            const auto past = factors.lower_bound(lifts[i]);
            if (past == factors.begin() || past == factors.end()) {
                found[i] *= past == factors.end() ? factors.rbegin()->second : past->second;
                continue;
            }
            const auto before = std::prev(past);
            found[i] *= before->second + (past->second - before->second) * (lifts[i] - before->first) /
                                             (past->first - before->first);
        }
        return true;
    }

    [[nodiscard]] std::optional<double> deviationOf(const LiftModel& model, LiftWorkspace& workspace,
                                                    const std::vector<GroupSums>& sums,
                                                    const Factors& factors, const std::vector<double>& lifts,
                                                    const std::vector<double>& wanted, double least) const {
        const auto weight = [&](double lift) {
            if (!(m_rules.low_speed_lift_mm > 0)) return 1.0;
            return lift <= m_rules.low_speed_lift_mm ? m_rules.low_speed_weight : m_rules.high_speed_weight;
        };
        // The ends of the range give most stacks away.
        std::vector<double> found(lifts.size());
        for (const std::size_t end : {std::size_t{0}, lifts.size() - 1}) {
            if (!pressures(model, workspace, sums, factors, {&lifts[end], 1}, {found.data(), 1})) continue;
            const double off = weight(lifts[end]) * std::abs(found[0] / wanted[end] - 1);
            if (off > least) return off;
        }
        if (!pressures(model, workspace, sums, factors, lifts, found)) return {};
        double worst = 0;
        for (std::size_t i = 0; i < lifts.size(); ++i)
            worst = std::max(worst, weight(lifts[i]) * std::abs(found[i] / wanted[i] - 1));
        return worst;
    }

    const SubstituteRequest& m_request;
    const SubstituteRules& m_rules;
    std::size_t m_most;
    std::vector<Group> m_target;
    std::int64_t m_height = 0;
    std::set<Stack> m_stacks;
    long m_steps = 0;
};

} // namespace shimledger::planner::test
