// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/lift_model.h"
#include "planner/substitute/substitute_search.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <functional>
#include <map>
#include <optional>
#include <random>
#include <string>
#include <utility>
#include <vector>

namespace shimledger::planner::test {

inline Length um(int micrometres) {
    return Length::fromMicrometres(micrometres);
}

/// A few sizes of every OD in small numbers; any group may change.
inline SubstituteRequest randomRequest(std::mt19937& random, int sizes, int most_pieces) {
    const auto pick = [&](int low, int high) {
        return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
    };
    const std::vector<int> thicknesses{80, 100, 120, 150, 200, 250};
    const auto thickness = [&] { return um(thicknesses[random() % thicknesses.size()]); };
    SubstituteRequest request;
    std::vector<DiscRow> rows{{pick(1, 4), um(24000), thickness(), {}, {}}};
    if (pick(0, 1) == 1) {
        rows.push_back({1, um(16000), um(pick(1, 2) * 100), {}, {}});
        rows.push_back({pick(1, 2), um(22000), thickness(), {}, {}});
    } else {
        rows.push_back({pick(1, 2), um(20000), thickness(), {}, {}});
    }
    rows.push_back({1, um(14000), thickness(), {}, {}});
    request.target = StackSpec({um(10000), um(13000), um(20000), um(6000), {}, um(0)}, rows);
    request.legs = pick(1, 2);
    for (const int od : {24, 22, 20, 16, 14}) {
        for (int i = 0; i < sizes; ++i) {
            const int pieces = pick(0, most_pieces) * request.legs + pick(0, request.legs - 1);
            const std::string bin = std::to_string(od) + "-" + std::to_string(i);
            request.stock.push_back({bin, "", um(od * 1000), um(6000), thickness(), {}, false, pieces, i, 0});
        }
    }
    request.rules.most_other_groups_changed = 10;
    request.rules.height_tolerance = um(pick(0, 2) * 150);
    request.rules.crossover_od_tolerance = um(0);
    if (pick(0, 3) == 0) request.rules.most_discs_changed = pick(1, 4);
    request.rules.regime = pick(0, 4) == 0 ? Regime::small : Regime::large;
    request.limits.seconds = 600;
    request.limits.candidates = 1'000'000'000;
    request.limits.gap = 0;
    return request;
}

/// Tries every count of every size, knowing nothing of states, boxes or bounds.
class EveryStack {
public:
    /// A stack within the rules: by group, how many of each thickness.
    using Counts = std::vector<std::vector<std::pair<Length, int>>>;
    using Visitor = std::function<void(const Counts& counts, int changed, double deviation)>;

    /// With `curves` false only counted, in `tried`. `face`: the face's OD, where it is not the target's.
    /// `visitor` is shown each stack.
    explicit EveryStack(const SubstituteRequest& request, bool curves = true, std::optional<Length> face = {},
                        Visitor visitor = {})
        : m_request(request), m_curves(curves), m_face(face.value_or(request.target->rows().front().od)),
          m_target(groupStack(*request.target)),
          m_model(request.target->valve(), shapesWith(m_target.shapes, m_face), GridOptions::searchGrid()),
          m_workspace(m_model.makeWorkspace()),
          m_lifts(comparisonLifts(request.rules.working_lift_mm, many_lifts)), m_wanted(m_lifts.size()),
          m_got(m_lifts.size()), m_visitor(std::move(visitor)) {
        const LiftModel target(request.target->valve(), m_target.shapes);
        LiftWorkspace room = target.makeWorkspace();
        REQUIRE(
            target.pressuresAtLifts(m_target.sums, m_lifts, request.rules.regime, room, m_wanted).converged);
        for (const StockItem& item : request.stock)
            m_held[{item.od, item.id}][item.thickness] += item.available;
        m_sums.resize(m_target.sums.size());
        m_counts.resize(m_target.sums.size());
        group(0, Length(), 0);
    }

    /// The search tells the largest deviation over the whole range, this one the largest over many lifts.
    static constexpr int many_lifts = 60;
    static constexpr double between_lifts = 1e-3;

    double best = 1e300;
    long tried = 0;
    long unsolved = 0; ///< of those tried: no curve

private:
    static std::vector<GroupShape> shapesWith(std::vector<GroupShape> shapes, Length face) {
        shapes.front().outer_radius_mm = face.millimetres() / 2;
        return shapes;
    }

    [[nodiscard]] Length odOf(std::size_t g) const {
        return g == 0 ? m_face : m_request.target->rows()[g].od;
    }

    [[nodiscard]] bool ring(std::size_t g) const { return m_request.target->rows()[g].ring_id.has_value(); }

    /// A disc that leaves a gap on both sides of its edge.
    [[nodiscard]] bool crossover(std::size_t g) const {
        const auto& rows = m_request.target->rows();
        return !ring(g) && g > 0 && g + 1 < rows.size() && rows[g].od < rows[g - 1].od &&
               rows[g].od < rows[g + 1].od;
    }

    void group(std::size_t g, Length height, int changed) {
        const auto& rows = m_request.target->rows();
        if (g == rows.size()) {
            judge(height, changed);
            return;
        }
        m_sums[g] = {};
        std::vector<std::pair<Length, int>> chosen;
        size(g, held(g).begin(), chosen, height, changed);
    }

    using Sizes = std::map<Length, std::int64_t>;

    /// What the drawers hold of the group's OD and bore.
    [[nodiscard]] const Sizes& held(std::size_t g) {
        const DiscRow& row = m_request.target->rows()[g];
        return m_held[{odOf(g), row.ring_id.value_or(m_request.target->valve().shim_id)}];
    }

    void size(std::size_t g, Sizes::const_iterator at, std::vector<std::pair<Length, int>>& chosen,
              Length height, int changed) {
        const DiscRow& row = m_request.target->rows()[g];
        if (at == held(g).end()) {
            Length thick;
            int discs = 0, kept = 0;
            GroupSums sums;
            for (const auto& [t, count] : chosen) {
                thick += count * t;
                discs += count;
                if (t == row.thickness && row.od == odOf(g)) kept = std::min(count, row.count);
                const GroupSums own = sumsOf(count, t.millimetres(), row.material.elastic_modulus_mpa);
                sums.thickness_mm += own.thickness_mm;
                sums.bending_n_mm += own.bending_n_mm;
                sums.membrane_n_per_mm += own.membrane_n_per_mm;
            }
            if (discs == 0 || (crossover(g) && thick != row.count * row.thickness)) return;
            m_sums[g] = sums;
            m_counts[g] = chosen;
            group(g + 1, ring(g) ? height : height + thick,
                  changed + std::max(row.count - kept, discs - row.count));
            return;
        }
        const auto next = std::next(at);
        for (int count = 0; count <= at->second / m_request.legs; ++count) {
            chosen.emplace_back(at->first, count);
            size(g, next, chosen, height, changed);
            chosen.pop_back();
        }
    }

    /// Two groups of one outline draw on the same discs.
    [[nodiscard]] bool drawersAllow() {
        std::map<const Sizes*, Sizes> taken;
        for (std::size_t g = 0; g < m_counts.size(); ++g) {
            const Sizes& sizes = held(g);
            for (const auto& [thickness, count] : m_counts[g]) {
                if ((taken[&sizes][thickness] += count) > sizes.at(thickness) / m_request.legs) return false;
            }
        }
        return true;
    }

    /// The deviation at ten times as many lifts, of a stack that may be the best.
    [[nodiscard]] double closer() {
        const std::vector<double> lifts = comparisonLifts(m_request.rules.working_lift_mm, 10 * many_lifts);
        std::vector<double> wanted(lifts.size()), got(lifts.size());
        const LiftModel target(m_request.target->valve(), m_target.shapes);
        LiftWorkspace room = target.makeWorkspace();
        const auto regime = m_request.rules.regime;
        if (!target.pressuresAtLifts(m_target.sums, lifts, regime, room, wanted).converged ||
            !m_model.pressuresAtLifts(m_sums, lifts, regime, m_workspace, got).converged)
            return 0;
        double deviation = 0;
        for (std::size_t i = 0; i < lifts.size(); ++i)
            deviation = std::max(deviation, std::abs(got[i] / wanted[i] - 1));
        return deviation;
    }

    void judge(Length height, int changed) {
        if (!drawersAllow()) return;
        const SubstituteRules& rules = m_request.rules;
        const std::int64_t off = std::abs((height - m_request.target->height()).micrometres());
        if (off > rules.height_tolerance.micrometres()) return;
        if (rules.most_discs_changed && changed > *rules.most_discs_changed) return;
        ++tried;
        if (!m_curves) return;
        if (!m_model.pressuresAtLifts(m_sums, m_lifts, rules.regime, m_workspace, m_got).converged) {
            ++unsolved;
            return;
        }
        double deviation = 0;
        for (std::size_t i = 0; i < m_lifts.size(); ++i)
            deviation = std::max(deviation, std::abs(m_got[i] / m_wanted[i] - 1));
        if (deviation < best) best = std::min(best, std::max(deviation, closer()));
        if (m_visitor) m_visitor(m_counts, changed, deviation);
    }

    const SubstituteRequest& m_request;
    bool m_curves;
    Length m_face;
    GroupedStack m_target;
    LiftModel m_model;
    LiftWorkspace m_workspace;
    std::vector<double> m_lifts, m_wanted, m_got;
    std::map<std::pair<Length, Length>, Sizes> m_held; ///< by OD and bore
    std::vector<GroupSums> m_sums;
    Visitor m_visitor;
    Counts m_counts;
};

} // namespace shimledger::planner::test
