// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/proposal_builder.h"

#include "planner/substitute/curve_judge.h"
#include "planner/substitute/group_rows.h"
#include "planner/substitute/leg_split.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <stdexcept>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

constexpr int many_lifts = 100;

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
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

/// All that the stack pulls, by bin in walking order, dealt to the legs.
std::vector<Pull> pullsOf(const SubstituteRequest& request, const SearchFrame& frame,
                          const std::vector<int>& state) {
    std::vector<Pull> pulls;
    std::map<std::pair<Length, Length>, std::vector<std::vector<std::int64_t>>> left; // by outline, kind, lot
    for (std::size_t g = 0; g < frame.groups.size(); ++g) {
        auto& lots_left = left[{frame.groups[g].od, frame.groups[g].id}];
        if (lots_left.empty()) {
            for (const DiscKind& kind : frame.kinds[g]) {
                lots_left.emplace_back();
                for (const auto& lot : kind.lots) lots_left.back().push_back(lot.second);
            }
        }
        const std::vector<int>& counts = frame.choices[g]->states[at(state[g])].counts;
        for (std::size_t k = 0; k < counts.size(); ++k)
            addPulls(request, frame.kinds[g][k], lots_left[k], counts[k], pulls);
    }
    std::sort(pulls.begin(), pulls.end(), [](const Pull& a, const Pull& b) {
        return std::tie(a.walking_order, a.bin, a.od, a.thickness, a.used) <
               std::tie(b.walking_order, b.bin, b.od, b.thickness, b.used);
    });
    dealPulls(pulls, request.legs);
    return pulls;
}

/// What each leg's groups add up to when their discs are taken from the pulls in walking order.
std::vector<std::vector<GroupSums>> sumsOfLegs(const SubstituteRequest& request, const SearchFrame& frame,
                                               const std::vector<int>& state,
                                               const std::vector<Pull>& pulls) {
    std::vector<std::vector<GroupSums>> sums(at(request.legs), std::vector<GroupSums>(frame.groups.size()));
    for (std::size_t leg = 0; leg < sums.size(); ++leg) {
        std::vector<std::int64_t> left;
        left.reserve(pulls.size());
        for (const Pull& pull : pulls) left.push_back(pull.per_leg[leg]);
        for (std::size_t g = 0; g < frame.groups.size(); ++g) {
            const TargetGroup& group = frame.groups[g];
            std::map<Length, std::int64_t> wanted;
            const std::vector<int>& counts = frame.choices[g]->states[at(state[g])].counts;
            for (std::size_t k = 0; k < counts.size(); ++k) wanted[frame.kinds[g][k].thickness] += counts[k];
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

/// At some lift that nobody looked at before: the edge of a stack may sink there while the pressure rises.
struct NoCurve {};

/// The curves of the legs of one stack, those that are alike once.
class LegCurves {
public:
    LegCurves(const SubstituteRequest& request, const TargetCurve& target, const SearchFrame& frame,
              const std::vector<std::vector<GroupSums>>& sums, std::vector<DiscLevers> levers)
        : m_levers(std::move(levers)),
          m_judge(request.target->valve(), frame.shapes, request.rules.regime, target) {
        for (const auto& leg : sums) {
            const auto known = std::find_if(m_sums.begin(), m_sums.end(),
                                            [&](const auto& other) { return alike(leg, other); });
            m_of_leg.push_back(static_cast<std::size_t>(known - m_sums.begin()));
            if (known == m_sums.end()) m_sums.push_back(leg);
        }
    }

    /// By leg.
    [[nodiscard]] std::vector<std::vector<double>> at(const std::vector<double>& lifts_mm) {
        std::vector<std::vector<double>> different(m_sums.size(), std::vector<double>(lifts_mm.size()));
        for (std::size_t i = 0; i < m_sums.size(); ++i) {
            if (!m_judge.pressures({m_sums[i], m_levers}, lifts_mm, different[i])) throw NoCurve();
        }
        std::vector<std::vector<double>> curves;
        curves.reserve(m_of_leg.size());
        for (const std::size_t leg : m_of_leg) curves.push_back(different[leg]);
        return curves;
    }

    /// Where one of them deviates most from the target as it is, whatever is wanted of it.
    [[nodiscard]] double worstLiftAgainstBase() {
        const TargetCurve& target = m_judge.target();
        std::vector<double> many = target.lifts_mm;
        many.insert(many.end(), target.between_mm.begin(), target.between_mm.end());
        std::sort(many.begin(), many.end());
        const std::vector<double> wanted_mpa = target.pressures_at(many);
        if (wanted_mpa.empty()) return 0;
        double most = 0, worst_mm = 0;
        for (const std::vector<double>& leg : at(many)) {
            for (std::size_t i = 0; i < many.size(); ++i) {
                const double off = std::abs(leg[i] / wanted_mpa[i] * target.wanted.at(many[i]) - 1);
                if (off <= most) continue;
                most = off;
                worst_mm = many[i];
            }
        }
        return worst_mm;
    }

    /// Where one of them deviates most.
    [[nodiscard]] double worstLift() {
        CurveJudge::Verdict worst;
        constexpr double any_deviation = 1e300;
        for (const std::vector<GroupSums>& leg : m_sums) {
            const CurveJudge::Verdict verdict = m_judge.weigh({leg, m_levers}, any_deviation);
            if (verdict.deviation > worst.deviation) worst = verdict;
        }
        // And many lifts more, for what does not show from a few.
        std::vector<double> many;
        const double range = m_judge.target().lifts_mm.back();
        for (int i = 1; i < many_lifts; ++i) many.push_back(range * i / many_lifts);
        const std::vector<double> wanted_mpa = m_judge.target().pressures_at(many);
        if (wanted_mpa.empty()) return worst.at_lift_mm;
        for (const std::vector<double>& leg : at(many)) {
            for (std::size_t i = 0; i < many.size(); ++i) {
                const double off = std::abs(leg[i] / wanted_mpa[i] - 1);
                if (off <= worst.deviation) continue;
                worst.deviation = off;
                worst.at_lift_mm = many[i];
            }
        }
        return worst.at_lift_mm;
    }

private:
    /// The same readings, added in another order, are the same.
    static bool alike(const std::vector<GroupSums>& a, const std::vector<GroupSums>& b) {
        constexpr double rounding = 1e-12;
        const auto same = [](double x, double y) { return std::abs(x - y) <= rounding * std::abs(y); };
        return std::equal(a.begin(), a.end(), b.begin(), [&](const GroupSums& x, const GroupSums& y) {
            return same(x.thickness_mm, y.thickness_mm) && same(x.bending_n_mm, y.bending_n_mm) &&
                   same(x.membrane_n_per_mm, y.membrane_n_per_mm);
        });
    }

    std::vector<DiscLevers> m_levers;
    CurveJudge m_judge;
    std::vector<std::vector<GroupSums>> m_sums;
    std::vector<std::size_t> m_of_leg;
};

/// Figures of the legs' curves, of which the one that deviates most is told.
void tellCurves(const std::vector<std::vector<double>>& legs, const WantedFactor& wanted,
                SubstituteProposal& proposal) {
    for (const std::vector<double>& leg : legs) {
        const CurveDeviation deviation = compareCurves(proposal.lifts_mm, proposal.target_pressures_mpa, leg);
        proposal.leg_deviations.push_back(deviation.signed_deviation);
        if (proposal.pressures_mpa.empty() || deviation.max_deviation > proposal.deviation.max_deviation) {
            proposal.deviation = deviation;
            proposal.pressures_mpa = leg;
        }
    }
    proposal.leg_difference = legDifference(legs);
    proposal.against_base = proposal.deviation;
    if (wanted.changesNothing()) return;
    std::vector<double> own_mpa = proposal.target_pressures_mpa;
    for (std::size_t i = 0; i < own_mpa.size(); ++i) own_mpa[i] /= wanted.at(proposal.lifts_mm[i]);
    proposal.against_base = compareCurves(proposal.lifts_mm, own_mpa, proposal.pressures_mpa);
}

} // namespace

double legDifference(const std::vector<std::vector<double>>& legs) {
    double largest = 0;
    for (std::size_t i = 0; i < legs.front().size(); ++i) {
        double least = legs.front()[i], most = least;
        for (const std::vector<double>& leg : legs) {
            least = std::min(least, leg[i]);
            most = std::max(most, leg[i]);
        }
        largest = std::max(largest, most / least - 1);
    }
    constexpr double rounding = 1e-9; // the same readings, added in another order
    return largest < rounding ? 0 : largest;
}

std::vector<std::vector<GroupSums>> legSums(const SubstituteRequest& request, const SearchFrame& frame,
                                            const std::vector<int>& state) {
    return sumsOfLegs(request, frame, state, pullsOf(request, frame, state));
}

std::vector<std::optional<SubstituteProposal>> buildProposals(const SubstituteRequest& request,
                                                              const TargetCurve& target,
                                                              const std::vector<FramedStack>& stacks) {
    const TargetCurve plain = unweighted(target); // what is told is not weighted
    std::vector<std::optional<SubstituteProposal>> proposals;
    std::vector<LegCurves> curves;
    std::vector<double> lifts = target.lifts_mm;
    curves.reserve(stacks.size());
    for (const auto& [frame, stack] : stacks) {
        SubstituteProposal& proposal = proposals.emplace_back(SubstituteProposal()).value();
        for (std::size_t g = 0; g < frame->groups.size(); ++g)
            addGroupRows(*request.target, frame->groups[g], frame->kinds[g],
                         frame->choices[g]->states[at(stack->state[g])].counts, proposal.rows);
        proposal.pulls = pullsOf(request, *frame, stack->state);
        proposal.height_change = stack->height_change;
        proposal.discs_changed = stack->discs_changed;
        proposal.replacement_cost = stack->cost * request.legs;
        curves.emplace_back(request, plain, *frame, sumsOfLegs(request, *frame, stack->state, proposal.pulls),
                            leversOf(*frame, stack->state));
        try {
            if (const double lift = curves.back().worstLift(); lift > 0) lifts.push_back(lift);
            if (target.wanted.changesNothing()) continue;
            if (const double lift = curves.back().worstLiftAgainstBase(); lift > 0) lifts.push_back(lift);
        } catch (const NoCurve&) {
            proposals.back().reset();
        }
    }
    std::sort(lifts.begin(), lifts.end());
    lifts.erase(std::unique(lifts.begin(), lifts.end()), lifts.end());
    std::vector<double> wanted_mpa = target.pressures_at(lifts);
    if (wanted_mpa.empty()) { // the target's own edge sinks at one of them
        lifts = target.lifts_mm;
        wanted_mpa = target.pressures_mpa;
    }
    for (std::size_t i = 0; i < proposals.size(); ++i) {
        if (!proposals[i]) continue;
        proposals[i]->lifts_mm = lifts;
        proposals[i]->target_pressures_mpa = wanted_mpa;
        try {
            tellCurves(curves[i].at(lifts), target.wanted, *proposals[i]);
        } catch (const NoCurve&) {
            proposals[i].reset();
        }
    }
    return proposals;
}

} // namespace shimledger::planner
