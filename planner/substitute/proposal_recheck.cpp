// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/proposal_recheck.h"

#include "planner/mechanics/disc_friction.h"
#include "planner/mechanics/lift_curve.h"
#include "planner/mechanics/lift_model.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <stdexcept>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

// Written without any code of the search on purpose: see the header.

using Faults = std::vector<std::string>;
using LotKey = std::tuple<std::string, std::string, Length, Length, Length, bool>; // bin .. used
using SizeKey = std::tuple<Length, Length, Length>;                                // OD, bore, thickness

// Relative pressure. On the search's own grid a fresh solution must agree closely; between the lifts looked
// at the deviation is told to a part of the way between two of them.
constexpr double same_grid = 1e-5, between_lifts = 5e-4;
// What friction adds goes by slopes: a contact that only just closes at a lift is open on one way there and
// closed on another.
constexpr double same_grid_with_friction = 1e-3;
constexpr int many_lifts = 100;

constexpr int any_row = 1 << 30;

struct Run {
    Length od, bore, thickness;
    bool ring = false;
    int first_row = 0, discs = 0;
    std::map<Length, int> sizes;
    double modulus = 0;
};

Length boreOf(const StackSpec& stack, const DiscRow& row) {
    return row.ring_id ? *row.ring_id : stack.valve().shim_id;
}

std::vector<Run> runsOf(const StackSpec& stack) {
    std::vector<Run> runs;
    int number = 0;
    for (const DiscRow& row : stack.rows()) {
        ++number;
        const Length bore = boreOf(stack, row);
        if (runs.empty() || runs.back().od != row.od || runs.back().bore != bore) {
            runs.push_back(
                {row.od, bore, {}, row.ring_id.has_value(), number, 0, {}, row.material.elastic_modulus_mpa});
        }
        runs.back().discs += row.count;
        runs.back().thickness += row.count * row.thickness;
        runs.back().sizes[row.thickness] += row.count;
    }
    return runs;
}

void checkPulls(const SubstituteRequest& request, const SubstituteProposal& proposal, const StackSpec& built,
                Faults& faults) {
    std::map<LotKey, std::int64_t> held;
    std::map<SizeKey, std::int64_t> left_of_size;
    for (const StockItem& item : request.stock) {
        if (item.available <= 0) continue;
        held[{item.bin, item.part, item.od, item.thickness, item.measured.value_or(Length()), item.used}] +=
            item.available;
        left_of_size[{item.od, item.id, item.thickness}] += item.available;
    }
    const auto& alone = request.rules.bins_left_alone;
    const auto legs = static_cast<std::size_t>(request.legs);
    std::vector<std::map<std::pair<Length, Length>, std::int64_t>> given(legs);
    bool any_new = false, any_used = false;
    for (const Pull& pull : proposal.pulls) {
        const std::string what = pull.od.text() + " x " + pull.thickness.text(2) + " from bin " + pull.bin;
        if (pull.quantity <= 0) faults.push_back(what + ": pulls nothing");
        auto& left =
            held[{pull.bin, pull.part, pull.od, pull.thickness, pull.measured.value_or(Length()), pull.used}];
        left -= pull.quantity;
        if (left < 0) faults.push_back(what + ": more is pulled than the bin has");
        if (std::find(alone.begin(), alone.end(), pull.bin) != alone.end())
            faults.push_back(what + ": the bin is to be left alone");
        if (pull.per_leg.size() != legs) {
            faults.push_back(what + ": not dealt to every leg");
            continue;
        }
        std::int64_t sum = 0;
        for (std::size_t leg = 0; leg < legs; ++leg) {
            sum += pull.per_leg[leg];
            given[leg][{pull.od, pull.thickness}] += pull.per_leg[leg];
            if (pull.per_leg[leg] < 0) faults.push_back(what + ": a leg gets fewer than none");
        }
        if (sum != pull.quantity) faults.push_back(what + ": the legs do not get what is pulled");
        (pull.used ? any_used : any_new) = true;
    }
    if (request.rules.only_new && any_used)
        faults.emplace_back("used discs are taken, but only new ones may be");
    if (!request.rules.mix_new_and_used && any_new && any_used)
        faults.emplace_back("new and used discs are mixed");
    std::map<std::pair<Length, Length>, std::int64_t> wanted;
    std::map<SizeKey, std::int64_t> wanted_by_bore;
    for (const DiscRow& row : built.rows()) {
        wanted[{row.od, row.thickness}] += row.count;
        wanted_by_bore[{row.od, boreOf(built, row), row.thickness}] += row.count;
    }
    for (std::size_t leg = 0; leg < legs; ++leg) {
        if (given[leg] != wanted)
            faults.push_back("leg " + std::to_string(leg + 1) + " is not given the discs of its rows");
    }
    for (const auto& [size, count] : wanted_by_bore) {
        if (left_of_size[size] - count * request.legs <
            std::max<std::int64_t>(0, request.rules.keep_in_stock)) {
            faults.push_back("too few " + std::get<0>(size).text() + " x " + std::get<2>(size).text(2) +
                             " would stay in stock");
        }
    }
}

void checkRules(const SubstituteRequest& request, const SubstituteProposal& proposal, const StackSpec& built,
                Faults& faults) {
    const SubstituteRules& rules = request.rules;
    const StackSpec& target = *request.target;
    const std::vector<Run> wanted = runsOf(target), got = runsOf(built);
    if (wanted.size() != got.size()) {
        faults.emplace_back("the order of diameters is not the target's");
        return;
    }
    int changed = 0, groups_moved = 0;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        const Run& from = wanted[i];
        const Run& to = got[i];
        const bool crossover = !from.ring && i > 0 && i + 1 < wanted.size() && from.od < wanted[i - 1].od &&
                               from.od < wanted[i + 1].od;
        const std::int64_t moved = std::abs((to.od - from.od).micrometres());
        const int past = i + 1 < wanted.size() ? wanted[i + 1].first_row : any_row;
        bool named = false;
        for (const int row : rules.rows_that_may_move) named = named || (row >= from.first_row && row < past);
        const bool fixed = from.ring || from.od <= target.valve().clamp_od;
        Length allowed = crossover ? rules.crossover_od_tolerance : Length();
        if (named || (i == 0 ? !rules.face_od_fixed : !crossover && !rules.keep_every_od))
            allowed = std::max(allowed, rules.od_step);
        if (fixed) allowed = Length();
        if (moved != 0) ++groups_moved;
        if (moved > allowed.micrometres())
            faults.push_back("group " + std::to_string(i + 1) + " has another OD than the rules allow");
        if (i > 0 && (got[i - 1].od < to.od) != (wanted[i - 1].od < from.od)) {
            faults.push_back("group " + std::to_string(i + 1) + " changes the order of diameters");
        }
        bool stays = false;
        for (const int row : rules.rows_that_stay) stays = stays || (row >= from.first_row && row < past);
        if (stays && (moved != 0 || to.sizes != from.sizes))
            faults.push_back("group " + std::to_string(i + 1) + " is to stay as it is, but does not");
        if (from.bore != to.bore) faults.push_back("group " + std::to_string(i + 1) + " has another bore");
        if (crossover && std::abs((to.thickness - from.thickness).micrometres()) >
                             rules.crossover_gap_tolerance.micrometres()) {
            faults.push_back("the crossover of group " + std::to_string(i + 1) + " leaves another gap");
        }
        int taken = 0;
        for (const auto& [size, count] : from.sizes) {
            const auto same = to.sizes.find(size);
            const int kept = moved != 0 || same == to.sizes.end() ? 0 : std::min(count, same->second);
            taken += count - kept;
        }
        changed += std::max(taken, to.discs - from.discs);
    }
    if (groups_moved > rules.most_groups_moved)
        faults.emplace_back("more groups stand at another OD than allowed");
    if (changed != proposal.discs_changed) faults.emplace_back("the number of discs changed is told wrongly");
    if (rules.most_discs_changed && changed > *rules.most_discs_changed)
        faults.emplace_back("more discs are changed than allowed");
    if (built.discCount() > rules.most_discs) faults.emplace_back("the stack has more discs than allowed");
    const Length change = built.height() - target.height();
    if (change != proposal.height_change) faults.emplace_back("the change of height is told wrongly");
    if (std::abs(change.micrometres()) > rules.height_tolerance.micrometres())
        faults.emplace_back("the height lies outside the rules");
}

/// What is wanted of the target's pressure at a lift.
double wantedAt(const SubstituteRules& rules, double lift_mm) {
    const std::vector<WantedPoint>& points = rules.wanted.points();
    double factor = points.front().factor;
    for (std::size_t i = 1; i < points.size(); ++i) {
        const double width = points[i].lift_mm - points[i - 1].lift_mm;
        const double part = std::clamp((lift_mm - points[i - 1].lift_mm) / width, 0.0, 1.0);
        factor += part * (points[i].factor - points[i - 1].factor);
    }
    return factor;
}

/// Sums of each leg, from the readings of the lots that it is given. Groups that share an outline and a size
/// share its mean as well, unless nothing was measured.
std::vector<std::vector<GroupSums>> sumsOfLegs(const SubstituteProposal& proposal, const StackSpec& built,
                                               const GroupedStack& grouped) {
    struct Mean {
        double thickness = 0, cube = 0, pieces = 0;
    };
    std::vector<std::vector<GroupSums>> legs;
    for (std::size_t leg = 0; leg < proposal.pulls.front().per_leg.size(); ++leg) {
        std::map<std::pair<Length, Length>, Mean> means;
        for (const Pull& pull : proposal.pulls) {
            const double t = pull.measured.value_or(pull.thickness).millimetres();
            const auto pieces = static_cast<double>(pull.per_leg[leg]);
            Mean& mean = means[{pull.od, pull.thickness}];
            mean.thickness += pieces * t;
            mean.cube += pieces * t * t * t;
            mean.pieces += pieces;
        }
        std::vector<GroupSums> sums(grouped.sums.size());
        for (std::size_t row = 0; row < built.rows().size(); ++row) {
            const DiscRow& discs = built.rows()[row];
            const Mean& mean = means[{discs.od, discs.thickness}];
            GroupSums& group = sums[static_cast<std::size_t>(grouped.group_of_row[row])];
            const double each = discs.count / mean.pieces;
            group.thickness_mm += each * mean.thickness;
            group.bending_n_mm += each * discs.material.elastic_modulus_mpa * mean.cube;
            group.membrane_n_per_mm += each * discs.material.elastic_modulus_mpa * mean.thickness;
        }
        legs.push_back(std::move(sums));
    }
    return legs;
}

bool outlineSharedAndMeasured(const SubstituteProposal& proposal, const StackSpec& built) {
    const std::vector<Run> runs = runsOf(built);
    for (const Pull& pull : proposal.pulls) {
        if (!pull.measured) continue;
        if (std::count_if(runs.begin(), runs.end(), [&](const Run& run) {
                return run.od == pull.od && run.sizes.contains(pull.thickness);
            }) > 1) {
            return true;
        }
    }
    return false;
}

} // namespace

/// One grid with the target's curve on it, as it is wanted, and the model of the diameters that were looked
/// at last.
class ProposalRecheck::Grid {
public:
    Grid(const SubstituteRequest& request, const GridOptions& options)
        : m_request(request), m_options(options),
          m_base(request.curve_of ? *request.curve_of : *request.target), m_wanted(groupStack(m_base)) {}

    [[nodiscard]] const Curve& target(const std::vector<double>& lifts_mm) {
        if (m_lifts_mm != lifts_mm) {
            m_lifts_mm = lifts_mm;
            m_target = curve(m_base, m_wanted.shapes, m_wanted.sums, lifts_mm);
            for (std::size_t i = 0; m_target && i < lifts_mm.size(); ++i)
                (*m_target)[i] *= wantedAt(m_request.rules, lifts_mm[i]);
        }
        return m_target;
    }

    /// `stack` tells the sizes, `sums` what they were read as.
    [[nodiscard]] Curve curve(const StackSpec& stack, const std::vector<GroupShape>& shapes,
                              const std::vector<GroupSums>& sums, const std::vector<double>& lifts_mm) {
        std::vector<double> radii_mm;
        radii_mm.reserve(shapes.size());
        for (const GroupShape& shape : shapes) radii_mm.push_back(shape.outer_radius_mm);
        radii_mm.push_back(stack.valve().clamp_od.millimetres() / 2);
        if (!m_model || m_radii_mm != radii_mm) {
            m_radii_mm = radii_mm;
            m_model.emplace(stack.valve(), shapes, m_options);
        }
        LiftWorkspace room =
            m_model->makeWorkspace(); // each curve from nothing, not from the last one's path
        if (m_request.rules.compare_loading) return loading({stack, shapes, sums}, room, lifts_mm);
        std::vector<double> pressures_mpa(lifts_mm.size());
        if (!m_model->pressuresAtLifts(sums, lifts_mm, m_request.rules.regime, room, pressures_mpa).converged)
            return {};
        return pressures_mpa;
    }

private:
    struct Leg {
        const StackSpec& stack;
        const std::vector<GroupShape>& shapes;
        const std::vector<GroupSums>& sums;
    };

    /// While the pressure rises, friction holds the edge lower by half the loop: at the same lift it takes so
    /// much more pressure. Told at the lifts of the comparison, and linear between.
    [[nodiscard]] Curve loading(const Leg& leg, LiftWorkspace& room, const std::vector<double>& lifts_mm) {
        const auto regime = m_request.rules.regime;
        const std::vector<double> known_mm = comparisonLifts(m_request.rules.working_lift_mm);
        GroupedStack grouped = groupStack(leg.stack);
        grouped.sums = leg.sums;
        std::vector<StackState> states;
        std::vector<double> pressures_mpa(lifts_mm.size());
        if (!m_model->statesAtLifts(leg.sums, known_mm, regime, room, states).converged ||
            !m_model->pressuresAtLifts(leg.sums, lifts_mm, regime, room, pressures_mpa).converged)
            return {};
        const DiscFriction friction(leg.stack, grouped, *m_model);
        std::vector<double> factors;
        for (const StackState& state : states) {
            if (state.lift_slope_mm_per_mpa <= 0) return {};
            const double lower_mm = friction.halfWidth(state, regime, usual_friction_coefficient).lift_mm;
            factors.push_back(1 + lower_mm / state.lift_slope_mm_per_mpa / state.pressure_mpa);
        }
        std::size_t past = 1; // the first known lift beyond, or the last
        for (std::size_t i = 0; i < lifts_mm.size(); ++i) {
            while (past + 1 < known_mm.size() && known_mm[past] < lifts_mm[i]) ++past;
            const double part = (lifts_mm[i] - known_mm[past - 1]) / (known_mm[past] - known_mm[past - 1]);
            pressures_mpa[i] *= std::lerp(factors[past - 1], factors[past], std::clamp(part, 0.0, 1.0));
        }
        return pressures_mpa;
    }

    const SubstituteRequest& m_request;
    GridOptions m_options;
    const StackSpec& m_base; ///< whose curve is looked for
    GroupedStack m_wanted;
    std::vector<double> m_lifts_mm, m_radii_mm;
    Curve m_target;
    std::optional<LiftModel> m_model;
};

ProposalRecheck::ProposalRecheck(const SubstituteRequest& request, const GridOptions& grid)
    : m_request(request), m_own(std::make_unique<Grid>(request, grid)),
      m_fine(std::make_unique<Grid>(request, GridOptions::fineGrid())) {}
ProposalRecheck::~ProposalRecheck() = default;

void ProposalRecheck::checkCurve(const SubstituteProposal& proposal, const StackSpec& built, Faults& faults) {
    const std::size_t points = proposal.lifts_mm.size();
    if (points == 0 || proposal.pressures_mpa.size() != points ||
        proposal.target_pressures_mpa.size() != points) {
        faults.emplace_back("the curves are not whole");
        return;
    }
    double largest = 0;
    for (std::size_t i = 0; i < points; ++i) {
        const double told = proposal.pressures_mpa[i] / proposal.target_pressures_mpa[i];
        largest = std::max(largest, std::abs(told - 1));
    }
    if (std::abs(largest - proposal.deviation.max_deviation) > 1e-9)
        faults.emplace_back("the deviation does not follow from the curves");
    if (outlineSharedAndMeasured(proposal, built)) return; // which group got which lot is not told by pulls
    // The lifts told, and many more: nowhere does a leg deviate more than is told.
    std::vector<double> lifts_mm = proposal.lifts_mm;
    for (int i = 1; i < many_lifts; ++i) lifts_mm.push_back(proposal.lifts_mm.back() * i / many_lifts);
    std::sort(lifts_mm.begin(), lifts_mm.end());
    const std::optional<Worst> found = worstLeg(*m_own, proposal, built, lifts_mm);
    if (!found) {
        faults.emplace_back(no_curve);
        return;
    }
    const bool friction = m_request.rules.compare_loading;
    const double above = friction ? std::max(between_lifts, same_grid_with_friction) : between_lifts;
    const double below = friction ? same_grid_with_friction : same_grid;
    if (found->deviation > largest + above || found->deviation < largest - below) {
        faults.push_back("a fresh solution finds a deviation of " + std::to_string(found->deviation) +
                         " at a lift of " + std::to_string(found->lift_mm) + " mm, not " +
                         std::to_string(largest));
    }
}

/// The largest deviation of any leg, none where there is no curve.
std::optional<ProposalRecheck::Worst> ProposalRecheck::worstLeg(Grid& grid,
                                                                const SubstituteProposal& proposal,
                                                                const StackSpec& built,
                                                                const std::vector<double>& lifts_mm) {
    const GroupedStack got = groupStack(built);
    const Curve target_mpa = grid.target(lifts_mm);
    if (!target_mpa) return {};
    Worst worst;
    const std::vector<std::vector<GroupSums>> legs = sumsOfLegs(proposal, built, got);
    for (auto leg = legs.begin(); leg != legs.end(); ++leg) {
        if (std::find(legs.begin(), leg, *leg) != leg) continue; // a leg like an earlier one has its curve
        const Curve built_mpa = grid.curve(built, got.shapes, *leg, lifts_mm);
        if (!built_mpa) return {};
        for (std::size_t i = 0; i < lifts_mm.size(); ++i) {
            const double off = std::abs((*built_mpa)[i] / (*target_mpa)[i] - 1);
            if (off > worst.deviation) worst = {off, lifts_mm[i]};
        }
    }
    return worst;
}

std::optional<double> ProposalRecheck::fineDeviation(const SubstituteProposal& proposal) {
    const StackSpec built = builtStack(proposal);
    if (outlineSharedAndMeasured(proposal, built)) return proposal.deviation.max_deviation;
    const std::optional<Worst> worst = worstLeg(*m_fine, proposal, built, proposal.lifts_mm);
    if (!worst) return {};
    return worst->deviation;
}

StackSpec ProposalRecheck::builtStack(const SubstituteProposal& proposal) const {
    std::vector<DiscRow> rows;
    for (const ProposalRow& row : proposal.rows) rows.push_back(row.row);
    return {m_request.target->valve(), std::move(rows)};
}

std::vector<std::string> ProposalRecheck::faultsOf(const SubstituteProposal& proposal) {
    Faults faults;
    try {
        const StackSpec built = builtStack(proposal);
        checkPulls(m_request, proposal, built, faults);
        checkRules(m_request, proposal, built, faults);
        if (faults.empty()) checkCurve(proposal, built, faults);
    } catch (const std::runtime_error& error) {
        faults.push_back(std::string("the stack cannot exist: ") + error.what());
    }
    return faults;
}

} // namespace shimledger::planner
