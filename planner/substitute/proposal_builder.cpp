#include "planner/substitute/proposal_builder.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

/// The target's rows of a group with the new counts, then the sizes that it did not have.
void addRows(const SubstituteRequest& request, const SearchFrame& frame, std::size_t g,
             const GroupState& state, std::vector<ProposalRow>& rows) {
    const TargetGroup& group = frame.groups[g];
    std::map<Length, int> counts;
    for (std::size_t k = 0; k < state.counts.size(); ++k) {
        if (state.counts[k] > 0) counts[frame.kinds[g][k].thickness] += state.counts[k];
    }
    std::optional<int> short_row;
    DiscRow pattern = request.target->rows()[at(group.first_row)];
    const bool moved = pattern.od != group.od;
    for (int row = group.first_row; row < group.first_row + group.row_count; ++row) {
        const DiscRow& wanted = request.target->rows()[at(row)];
        auto& left = counts[wanted.thickness];
        // The last row of a size takes all that is left of it.
        bool last_of_size = true;
        for (int later = row + 1; later < group.first_row + group.row_count; ++later) {
            last_of_size = last_of_size && request.target->rows()[at(later)].thickness != wanted.thickness;
        }
        const int count = last_of_size ? left : std::min(left, wanted.count);
        left -= count;
        if (count < wanted.count && !short_row) short_row = row;
        if (count == 0) continue;
        DiscRow discs = wanted;
        discs.count = count;
        discs.od = group.od;
        rows.push_back({discs, row, moved || count != wanted.count});
    }
    for (const auto& [thickness, count] : counts) {
        if (count == 0) continue;
        pattern.count = count;
        pattern.od = group.od;
        pattern.thickness = thickness;
        rows.push_back({pattern, short_row.value_or(group.first_row), true});
    }
}

/// Takes legs x count of one kind: whole rounds of all legs from a bin as long as it lasts, then what is
/// left.
void addPulls(const SubstituteRequest& request, const DiscKind& kind, std::vector<std::int64_t>& left_in_lot,
              std::int64_t per_stack, std::vector<Pull>& pulls) {
    const std::int64_t legs = request.legs;
    std::vector<std::int64_t> wanted(at(request.legs), per_stack);
    const auto take = [&](std::size_t lot, std::size_t leg, std::int64_t pieces) {
        const std::size_t index = kind.lots[lot].first;
        const StockItem& item = request.stock[index];
        auto pull = std::find_if(pulls.begin(), pulls.end(), [&](const Pull& other) {
            return other.bin == item.bin && other.part == item.part && other.od == item.od &&
                   other.thickness == item.thickness && other.measured == item.measured &&
                   other.used == item.used;
        });
        if (pull == pulls.end()) {
            pulls.push_back({item.bin, item.part, item.od, item.thickness, item.measured, item.used, 0,
                             item.walking_order, std::vector<std::int64_t>(at(request.legs), 0)});
            pull = pulls.end() - 1;
        }
        pull->quantity += pieces;
        pull->per_leg[leg] += pieces;
        left_in_lot[lot] -= pieces;
        wanted[leg] -= pieces;
    };
    for (std::size_t lot = 0; lot < kind.lots.size(); ++lot) {
        const std::int64_t rounds = std::min(left_in_lot[lot] / legs, wanted.front());
        for (std::size_t leg = 0; rounds > 0 && leg < wanted.size(); ++leg) take(lot, leg, rounds);
    }
    for (std::size_t lot = 0; lot < kind.lots.size(); ++lot) {
        while (left_in_lot[lot] > 0) {
            const auto most = std::max_element(wanted.begin(), wanted.end());
            if (*most <= 0) return;
            take(lot, static_cast<std::size_t>(most - wanted.begin()), 1);
        }
    }
}

/// Largest difference between two legs' curves, from the lots that each really gets.
double legDifference(const SubstituteRequest& request, const SearchFrame& frame,
                     const std::vector<std::vector<Pull>>& pulls_of_group,
                     const std::vector<double>& lifts_mm) {
    const auto legs = at(request.legs);
    std::vector<std::vector<GroupSums>> sums(legs, std::vector<GroupSums>(frame.groups.size()));
    for (std::size_t g = 0; g < frame.groups.size(); ++g) {
        for (const Pull& pull : pulls_of_group[g]) {
            for (std::size_t leg = 0; leg < legs; ++leg) {
                const GroupSums part = sumsOf(static_cast<int>(pull.per_leg[leg]),
                                              pull.measured.value_or(pull.thickness).millimetres(),
                                              frame.groups[g].elastic_modulus_mpa);
                sums[leg][g].thickness_mm += part.thickness_mm;
                sums[leg][g].bending_n_mm += part.bending_n_mm;
                sums[leg][g].membrane_n_per_mm += part.membrane_n_per_mm;
            }
        }
    }
    bool alike = true;
    for (std::size_t leg = 1; leg < legs; ++leg) alike = alike && sums[leg] == sums.front();
    if (alike) return 0;
    const LiftModel model(request.target->valve(), frame.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> first(lifts_mm.size()), other(lifts_mm.size());
    double largest = 0;
    if (!model.pressuresAtLifts(sums.front(), lifts_mm, request.rules.regime, workspace, first).converged)
        return 0;
    for (std::size_t leg = 1; leg < legs; ++leg) {
        if (!model.pressuresAtLifts(sums[leg], lifts_mm, request.rules.regime, workspace, other).converged)
            return 0;
        for (std::size_t i = 0; i < lifts_mm.size(); ++i)
            largest = std::max(largest, std::abs(other[i] / first[i] - 1));
    }
    return largest;
}

} // namespace

SubstituteProposal buildProposal(const SubstituteRequest& request, const SearchFrame& frame,
                                 const EvaluatedStack& stack, const std::vector<double>& lifts_mm,
                                 const std::vector<double>& target_pressures_mpa) {
    SubstituteProposal proposal;
    std::map<std::pair<Length, Length>, std::vector<std::vector<std::int64_t>>> left; // by outline, kind, lot
    std::vector<std::vector<Pull>> pulls_of_group(frame.groups.size());
    for (std::size_t g = 0; g < frame.groups.size(); ++g) {
        const GroupState& state = frame.choices[g]->states[at(stack.state[g])];
        addRows(request, frame, g, state, proposal.rows);
        auto& lots_left = left[{frame.groups[g].od, frame.groups[g].id}];
        if (lots_left.empty()) {
            for (const DiscKind& kind : frame.kinds[g]) {
                lots_left.emplace_back();
                for (const auto& lot : kind.lots) lots_left.back().push_back(lot.second);
            }
        }
        for (std::size_t k = 0; k < state.counts.size(); ++k) {
            addPulls(request, frame.kinds[g][k], lots_left[k], state.counts[k], pulls_of_group[g]);
        }
    }
    for (const std::vector<Pull>& of_group : pulls_of_group) {
        for (const Pull& pull : of_group) {
            auto same = std::find_if(proposal.pulls.begin(), proposal.pulls.end(), [&](const Pull& other) {
                return other.bin == pull.bin && other.part == pull.part && other.od == pull.od &&
                       other.thickness == pull.thickness && other.measured == pull.measured &&
                       other.used == pull.used;
            });
            if (same == proposal.pulls.end()) {
                proposal.pulls.push_back(pull);
                continue;
            }
            same->quantity += pull.quantity;
            for (std::size_t leg = 0; leg < pull.per_leg.size(); ++leg)
                same->per_leg[leg] += pull.per_leg[leg];
        }
    }
    std::sort(proposal.pulls.begin(), proposal.pulls.end(), [](const Pull& a, const Pull& b) {
        return std::tie(a.walking_order, a.bin, a.od, a.thickness, a.used) <
               std::tie(b.walking_order, b.bin, b.od, b.thickness, b.used);
    });
    proposal.deviation = compareCurves(lifts_mm, target_pressures_mpa, stack.pressures_mpa);
    proposal.lifts_mm = lifts_mm;
    proposal.target_pressures_mpa = target_pressures_mpa;
    proposal.pressures_mpa = stack.pressures_mpa;
    proposal.height_change = stack.height_change;
    proposal.discs_changed = stack.discs_changed;
    proposal.replacement_cost = stack.cost * request.legs;
    proposal.leg_difference = legDifference(request, frame, pulls_of_group, lifts_mm);
    return proposal;
}

} // namespace shimledger::planner
