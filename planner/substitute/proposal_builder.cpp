#include "planner/substitute/proposal_builder.h"

#include "planner/substitute/leg_split.h"

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
    std::int64_t wanted = legs * per_stack;
    const auto take = [&](std::size_t lot, std::int64_t pieces) {
        if (pieces <= 0) return;
        const StockItem& item = request.stock[kind.lots[lot].first];
        auto pull = std::find_if(pulls.begin(), pulls.end(), [&](const Pull& other) {
            return other.bin == item.bin && other.part == item.part && other.od == item.od &&
                   other.thickness == item.thickness && other.measured == item.measured &&
                   other.used == item.used;
        });
        if (pull == pulls.end()) {
            pulls.push_back({item.bin, item.part, item.od, item.thickness, item.measured, item.used, 0,
                             item.walking_order, std::vector<std::int64_t>(at(request.legs), 0),
                             item.reading_spread_mm});
            pull = pulls.end() - 1;
        }
        pull->quantity += pieces;
        left_in_lot[lot] -= pieces;
        wanted -= pieces;
    };
    for (std::size_t lot = 0; lot < kind.lots.size(); ++lot)
        take(lot, std::min(left_in_lot[lot] / legs, wanted / legs) * legs);
    for (std::size_t lot = 0; lot < kind.lots.size(); ++lot) take(lot, std::min(left_in_lot[lot], wanted));
}

void dealPulls(std::vector<Pull>& pulls, int legs) {
    std::vector<LegLot> lots;
    lots.reserve(pulls.size());
    for (const Pull& pull : pulls) {
        lots.push_back({pull.od, pull.thickness, pull.measured.value_or(pull.thickness), pull.bin, pull.part,
                        pull.used, pull.walking_order, pull.quantity});
    }
    dealToLegs(lots, legs);
    for (std::size_t i = 0; i < pulls.size(); ++i) pulls[i].per_leg = lots[i].per_leg;
}

/// What each leg's groups add up to when their discs are taken from the pulls in walking order.
std::vector<std::vector<GroupSums>> sumsOfLegs(const SubstituteRequest& request, const SearchFrame& frame,
                                               const EvaluatedStack& stack, const std::vector<Pull>& pulls) {
    std::vector<std::vector<GroupSums>> sums(at(request.legs), std::vector<GroupSums>(frame.groups.size()));
    for (std::size_t leg = 0; leg < sums.size(); ++leg) {
        std::vector<std::int64_t> left;
        left.reserve(pulls.size());
        for (const Pull& pull : pulls) left.push_back(pull.per_leg[leg]);
        for (std::size_t g = 0; g < frame.groups.size(); ++g) {
            const TargetGroup& group = frame.groups[g];
            std::map<Length, std::int64_t> wanted;
            const GroupState& state = frame.choices[g]->states[at(stack.state[g])];
            for (std::size_t k = 0; k < state.counts.size(); ++k)
                wanted[frame.kinds[g][k].thickness] += state.counts[k];
            for (std::size_t i = 0; i < pulls.size(); ++i) {
                if (pulls[i].od != group.od) continue;
                const std::int64_t taken = std::min(left[i], wanted[pulls[i].thickness]);
                wanted[pulls[i].thickness] -= taken;
                left[i] -= taken;
                const GroupSums part = sumsOf(static_cast<int>(taken),
                                              pulls[i].measured.value_or(pulls[i].thickness).millimetres(),
                                              group.elastic_modulus_mpa);
                sums[leg][g].thickness_mm += part.thickness_mm;
                sums[leg][g].bending_n_mm += part.bending_n_mm;
                sums[leg][g].membrane_n_per_mm += part.membrane_n_per_mm;
            }
        }
    }
    return sums;
}

/// Largest difference between two legs' curves, from the lots that each really gets.
double legDifference(const SubstituteRequest& request, const SearchFrame& frame,
                     const std::vector<std::vector<GroupSums>>& sums, const std::vector<double>& lifts_mm) {
    bool alike = true;
    for (const auto& leg : sums) alike = alike && leg == sums.front();
    if (alike) return 0;
    const LiftModel model(request.target->valve(), frame.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> first(lifts_mm.size()), other(lifts_mm.size());
    double largest = 0;
    if (!model.pressuresAtLifts(sums.front(), lifts_mm, request.rules.regime, workspace, first).converged)
        return 0;
    for (std::size_t leg = 1; leg < sums.size(); ++leg) {
        if (!model.pressuresAtLifts(sums[leg], lifts_mm, request.rules.regime, workspace, other).converged)
            return 0;
        for (std::size_t i = 0; i < lifts_mm.size(); ++i)
            largest = std::max(largest, std::abs(other[i] / first[i] - 1));
    }
    constexpr double rounding = 1e-9; // the same readings, added in another order
    return largest < rounding ? 0 : largest;
}

} // namespace

SubstituteProposal buildProposal(const SubstituteRequest& request, const SearchFrame& frame,
                                 const EvaluatedStack& stack, const std::vector<double>& lifts_mm,
                                 const std::vector<double>& target_pressures_mpa) {
    SubstituteProposal proposal;
    std::map<std::pair<Length, Length>, std::vector<std::vector<std::int64_t>>> left; // by outline, kind, lot
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
            addPulls(request, frame.kinds[g][k], lots_left[k], state.counts[k], proposal.pulls);
        }
    }
    std::sort(proposal.pulls.begin(), proposal.pulls.end(), [](const Pull& a, const Pull& b) {
        return std::tie(a.walking_order, a.bin, a.od, a.thickness, a.used) <
               std::tie(b.walking_order, b.bin, b.od, b.thickness, b.used);
    });
    dealPulls(proposal.pulls, request.legs);
    proposal.deviation = compareCurves(lifts_mm, target_pressures_mpa, stack.pressures_mpa);
    proposal.lifts_mm = lifts_mm;
    proposal.target_pressures_mpa = target_pressures_mpa;
    proposal.pressures_mpa = stack.pressures_mpa;
    proposal.height_change = stack.height_change;
    proposal.discs_changed = stack.discs_changed;
    proposal.replacement_cost = stack.cost * request.legs;
    proposal.leg_difference =
        legDifference(request, frame, sumsOfLegs(request, frame, stack, proposal.pulls), lifts_mm);
    return proposal;
}

} // namespace shimledger::planner
