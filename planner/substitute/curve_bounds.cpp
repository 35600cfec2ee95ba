// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/curve_bounds.h"

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

// Worst seen in log p - sum e x, as a multiple of V (see the header): +0.8 and -0.5 where plates only bend;
// with 0.1 added to each elasticity +1.5 and -0.4 where they stretch as well.
constexpr double bending_above = 1.6, bending_below = 1.0, stretching_above = 3.0, stretching_below = 1.0;
constexpr double stretch_floor = 0.1;
constexpr double dust = 2e-5; // rounding of differences and contacts, relative pressure

// Least elasticities seen: -1.8 for bending in front of a gap, -0.13 for bending over a seat, -0.03 for a
// face disc that stretches, 0 for everything else.
constexpr double gap_fall = 4.0, seat_fall = 0.5, stretch_fall = 0.06;
constexpr double model_may_err = 0.02; // of the pressure, where it says that a bound by order is in vain
constexpr double useful_slack = 0.02;  // a bound by order that gives more away is not worth its evaluations

// Of friction: most that f was seen to be off, as a multiple of f and of how far off the model is; the same
// where gaps close, as a factor; and what one mm of lever adds, roughly, to see where to cut.
constexpr double friction_drift = 2.0, friction_at_kink = 5.0, friction_per_mm = 0.1;
constexpr double friction_dust = 1e-4;

double between(double a, double b) {
    return a == b ? a : std::sqrt(a * b);
}

double sumOf(const GroupSums& sums, std::size_t which) {
    return which == 0 ? sums.bending_n_mm : sums.membrane_n_per_mm;
}

/// The softest and the stiffest that a stack of the box could be: thick gaps are soft.
std::pair<std::vector<GroupSums>, std::vector<GroupSums>> extremesOf(const SumsBox& box) {
    std::vector<GroupSums> soft = box.leg_least, stiff = box.leg_greatest;
    for (std::size_t g = 0; g < soft.size(); ++g) std::swap(soft[g].thickness_mm, stiff[g].thickness_mm);
    return {std::move(soft), std::move(stiff)};
}

/// The last lift before the curve turns up most: that is where the first gap of the target closes, and up to
/// there the discs behind it do not matter.
std::size_t sharpestBend(const TargetCurve& target) {
    const std::vector<double>& p = target.pressures_mpa;
    const std::vector<double>& w = target.lifts_mm;
    std::size_t sharpest = p.size() - 1;
    double most = 0;
    for (std::size_t i = 1; i + 1 < p.size(); ++i) {
        const double before = (p[i] - p[i - 1]) / (w[i] - w[i - 1]);
        const double turn = (p[i + 1] - p[i]) / (w[i + 1] - w[i]) / before;
        if (turn > most) {
            most = turn;
            sharpest = i;
        }
    }
    return sharpest;
}

/// The least and the greatest that a sum over the levers of the box can be.
std::pair<double, double> rangeOf(const FrictionTerms& terms, const std::vector<LeverRange>& levers) {
    double low = terms.constant_mm, high = terms.constant_mm;
    for (std::size_t g = 0; g < levers.size(); ++g) {
        const DiscLevers &c = terms.of_group[g], &least = levers[g].least, &most = levers[g].greatest;
        for (const auto lever : lever_members) {
            const auto [smaller, larger] = std::minmax({c.*lever * (least.*lever), c.*lever * (most.*lever)});
            low += smaller;
            high += larger;
        }
    }
    return {low, high};
}

SumsBox justThis(const ComparedStack& stack) {
    const std::vector<GroupSums> sums(stack.sums.begin(), stack.sums.end());
    SumsBox box{sums, sums, sums, sums, {}};
    for (const DiscLevers& levers : stack.levers) box.levers.push_back({levers, levers});
    return box;
}

} // namespace

void LeverRange::take(const LeverRange& other) {
    for (const auto lever : lever_members) {
        least.*lever = std::min(least.*lever, other.least.*lever);
        greatest.*lever = std::max(greatest.*lever, other.greatest.*lever);
    }
}

CurveBounds::CurveBounds(CurveJudge& judge, const ValveGeometry& valve, std::vector<GroupShape> shapes,
                         Regime regime, const BoundWidth* width)
    : m_judge(&judge), m_width(width), m_before_gap(shapes.size(), false), m_in_gap(shapes.size(), false),
      m_friction(judge.target().friction_coefficient > 0) {
    // Without preload a seat is left at the first lift, as everything there grows alike.
    m_has_seat = valve.seat_diameter.has_value() && valve.preload.micrometres() > 0;
    for (const GroupShape& shape : shapes)
        m_under_clamp.push_back(!shape.ring && shape.outer_radius_mm <= valve.clamp_od.millimetres() / 2);
    for (std::size_t g = shapes.size(); g-- > 0;) {
        m_has_ring = m_has_ring || shapes[g].ring;
        m_before_gap[g] = m_has_gap;
        const auto wider = [&](const GroupShape& other) {
            return other.outer_radius_mm > shapes[g].outer_radius_mm;
        };
        m_in_gap[g] = std::any_of(shapes.begin() + static_cast<std::ptrdiff_t>(g), shapes.end(), wider);
        if (g > 0 && shapes[g - 1].outer_radius_mm < shapes[g].outer_radius_mm) m_has_gap = true;
    }
    const std::vector<double>& lifts = judge.target().lifts_mm;
    const std::size_t last = lifts.size() - 1;
    const std::size_t bend = m_has_gap ? sharpestBend(judge.target()) : last;
    m_few = {0, last / 3, 2 * last / 3, last};
    const bool bends = !judge.target().wanted.changesNothing();
    if (m_has_gap || m_has_seat || bends) { // few lifts say little of a curve with kinks
        for (std::size_t i = 0; i < last; i += 3) m_few.push_back(i);
        m_few.push_back(bend);
    }
    std::sort(m_few.begin(), m_few.end());
    m_few.erase(std::unique(m_few.begin(), m_few.end()), m_few.end());
    for (const std::size_t lift : {bend, last, last / 3}) {
        const auto place = std::find(m_few.begin(), m_few.end(), lift) - m_few.begin();
        m_by_order.push_back(static_cast<std::size_t>(place));
    }
    for (const std::size_t i : m_few) {
        m_few_mm.push_back(lifts[i]);
        const bool no_kink = !m_has_seat && !m_has_ring && (i == 0 || !m_has_gap);
        m_trust.push_back(!no_kink                            ? Trust::kinks
                          : i == 0 || regime == Regime::small ? Trust::bending
                                                              : Trust::stretching);
    }
}

std::shared_ptr<const CurveBounds::LocalModel> CurveBounds::modelAt(const SumsBox& box) {
    std::vector<GroupSums> middle;
    for (std::size_t g = 0; g < box.least.size(); ++g) {
        const GroupSums &a = box.least[g], &b = box.greatest[g];
        middle.push_back({between(a.thickness_mm, b.thickness_mm), between(a.bending_n_mm, b.bending_n_mm),
                          between(a.membrane_n_per_mm, b.membrane_n_per_mm)});
    }
    std::vector<DiscLevers> levers;
    for (const LeverRange& range : box.levers) {
        DiscLevers& lever = levers.emplace_back();
        for (const auto which : lever_members)
            lever.*which = (range.least.*which + range.greatest.*which) / 2;
    }
    return modelAt(std::move(middle), levers);
}

std::shared_ptr<const CurveBounds::LocalModel> CurveBounds::modelAt(std::vector<GroupSums> centre,
                                                                    std::span<const DiscLevers> levers) {
    auto model = std::make_shared<LocalModel>();
    model->centre = std::move(centre);
    const std::size_t sums = 2 * model->centre.size(), few = m_few.size();
    std::vector<double> pressure(few), elasticities(few * sums);
    if (!m_judge->elasticities(model->centre, m_few_mm, pressure, elasticities)) return nullptr;
    for (const double p : pressure) model->log_pressure.push_back(std::log(p));
    model->elasticity.assign(sums, std::vector<double>(few, 0.0));
    for (std::size_t i = 0; i < sums; ++i) {
        for (std::size_t k = 0; k < few; ++k) model->elasticity[i][k] = elasticities[k * sums + i];
    }
    if (m_friction && !m_judge->frictionParts({model->centre, levers}, m_few_mm, model->friction))
        return nullptr;
    return model;
}

CurveBounds::Range CurveBounds::rangeAt(const LocalModel& model, const SumsBox& box, std::size_t few) const {
    Range range;
    range.low = range.high = range.middle = model.log_pressure[few];
    const double floor = m_trust[few] == Trust::bending ? 0 : stretch_floor;
    for (std::size_t i = 0; i < model.elasticity.size(); ++i) {
        const double least = sumOf(box.leg_least[i / 2], i % 2), most = sumOf(box.leg_greatest[i / 2], i % 2);
        const double centre = sumOf(model.centre[i / 2], i % 2);
        if ((least == centre && most == centre) || m_under_clamp[i / 2]) continue;
        const double mean_least = sumOf(box.least[i / 2], i % 2),
                     mean_most = sumOf(box.greatest[i / 2], i % 2);
        const double leg_low = std::log(least / centre), leg_high = std::log(most / centre);
        const double x_low = mean_least == least ? leg_low : std::log(mean_least / centre);
        const double x_high = mean_most == most ? leg_high : std::log(mean_most / centre);
        const double e = model.elasticity[i][few];
        range.low += std::min(e * x_low, e * x_high);
        range.high += std::max(e * x_low, e * x_high);
        range.middle += 0.5 * e * (x_low + x_high);
        const double weight = std::abs(e) + floor;
        if (leg_low < x_low || leg_high > x_high) {
            const double apart = weight * (leg_high - leg_low) * (leg_high - leg_low) / 8;
            range.low -= apart;
            range.high += apart;
        }
        range.v += weight * std::max(leg_low * leg_low, leg_high * leg_high);
        range.centred_v += weight * 0.25 * (leg_high - leg_low) * (leg_high - leg_low);
        const double share = std::abs(e) + stretch_floor;
        range.far += share * std::max(std::abs(leg_low), std::abs(leg_high));
        range.centred_far += share * 0.5 * (leg_high - leg_low);
    }
    if (m_friction) {
        std::tie(range.friction_low, range.friction_high) = rangeOf(model.friction[few], box.levers);
    }
    return range;
}

double CurveBounds::drift() const {
    return friction_drift * (m_width ? m_width->friction : 1);
}

CurveBounds::Added CurveBounds::addedWithin(const Range& range, double part) const {
    if (!m_friction) return {};
    const double off = part * std::max(std::abs(range.friction_low), std::abs(range.friction_high)) +
                       (part > 0 ? friction_dust : 0);
    constexpr double least = -0.5; // where a rough model says that friction helps
    return {std::log1p(std::max(least, range.friction_low - off)), std::log1p(range.friction_high + off)};
}

CurveBounds::Added CurveBounds::addedAtKink(const Range& range) const {
    if (!m_friction) return {};
    const double factor = std::pow(friction_at_kink, m_width ? m_width->friction : 1);
    return {std::log1p(std::max(0.0, range.friction_low) / factor),
            std::log1p(std::max(0.0, range.friction_high) * factor)};
}

CurveBounds::Estimate CurveBounds::estimate(const LocalModel& model, const SumsBox& box) const {
    Estimate estimate;
    for (std::size_t k = 0; k < m_few.size(); ++k) {
        const Range range = rangeAt(model, box, k);
        const double target = m_judge->target().pressures_mpa[m_few[k]];
        const double weight = m_judge->target().weights[m_few[k]];
        const double friction = 1 + range.frictionMiddle();
        estimate.guess =
            std::max(estimate.guess, m_judge->deviationAt(m_few[k], friction * std::exp(range.middle)));
        const Curvature curvature = curvatureAt(k);
        const double most_friction = std::max(0.0, range.friction_high);
        const auto error = [&](double v, double far) {
            return weight * (curvature.above * v + drift() * far * most_friction);
        };
        estimate.error = std::max(estimate.error, error(range.v, range.far));
        estimate.centred_error = std::max(estimate.centred_error, error(range.centred_v, range.centred_far));
        const auto bound = [&](double v, double far, double margin) {
            const Added added = addedWithin(range, drift() * far);
            const double low = range.low + added.low, high = range.high + added.high;
            const double too_stiff = std::exp(low - curvature.below * v - margin) / target - 1;
            const double too_soft = 1 - std::exp(high + curvature.above * v + margin) / target;
            return weight * std::max(too_stiff, too_soft);
        };
        estimate.likely_bound = std::max(estimate.likely_bound, bound(0, 0, 0));
        if (m_trust[k] == Trust::kinks) continue;
        estimate.bound = std::max(estimate.bound, bound(range.v, range.far, dust));
        estimate.centred_bound =
            std::max(estimate.centred_bound, bound(range.centred_v, range.centred_far, dust));
    }
    return estimate;
}

CurveBounds::Curvature CurveBounds::curvatureAt(std::size_t few) const {
    const double width = m_width ? m_width->curvature : 1;
    if (m_trust[few] == Trust::bending) return {width * bending_above, width * bending_below};
    return {width * stretching_above, width * stretching_below};
}

BoundStrain CurveBounds::strain(const LocalModel& model, const ComparedStack& stack) {
    std::vector<double> lifts_mm; // that the model bounds anything at
    for (std::size_t k = 0; k < m_few.size(); ++k) {
        if (m_trust[k] != Trust::kinks) lifts_mm.push_back(m_few_mm[k]);
    }
    std::vector<double> smooth(lifts_mm.size()), compared(lifts_mm.size());
    if (!m_judge->smoothPressures(stack.sums, lifts_mm, smooth)) return {};
    if (m_friction && !m_judge->pressures(stack, lifts_mm, compared)) return {};
    BoundStrain strain;
    const SumsBox box = justThis(stack);
    for (std::size_t k = 0, i = 0; k < m_few.size(); ++k) {
        if (m_trust[k] == Trust::kinks) continue;
        const Range range = rangeAt(model, box, k);
        const Curvature curvature = curvatureAt(k);
        const double off = std::log(smooth[i]) - range.middle;
        const double allowed = (off > 0 ? curvature.above : curvature.below) * range.v + dust;
        strain.curvature = std::max(strain.curvature, std::abs(off) / allowed);
        if (m_friction) {
            const double friction_off = compared[i] / smooth[i] - 1 - range.frictionMiddle();
            const double friction_allowed =
                drift() * range.far * std::abs(range.frictionMiddle()) + friction_dust;
            strain.friction = std::max(strain.friction, std::abs(friction_off) / friction_allowed);
        }
        ++i;
    }
    return strain;
}

BoundStrain CurveBounds::strainByOrder(const SumsBox& box, const ComparedStack& stack,
                                       const LocalModel* model) {
    if (m_has_ring) return {};
    const double slack = this->slack(box);
    const auto [soft, stiff] = extremesOf(box);
    BoundStrain strain;
    for (const std::size_t k : m_by_order) {
        if (m_trust[k] != Trust::kinks) continue;
        double low = 0, high = 0, found = 0, compared = 0;
        if (!m_judge->smoothPressures(soft, {&m_few_mm[k], 1}, {&low, 1}) ||
            !m_judge->smoothPressures(stiff, {&m_few_mm[k], 1}, {&high, 1}) ||
            !m_judge->smoothPressures(stack.sums, {&m_few_mm[k], 1}, {&found, 1})) {
            continue;
        }
        strain.fall = std::max({strain.fall, std::log(low / found) / slack, std::log(found / high) / slack});
        if (!m_friction || !model || !m_judge->pressures(stack, {&m_few_mm[k], 1}, {&compared, 1})) continue;
        // By what factor friction is another than the model has it, of the factor that it may be off by.
        const Range range = rangeAt(*model, justThis(stack), k);
        const double allowed = std::log(friction_at_kink) * (m_width ? m_width->friction : 1);
        const double off =
            std::log((compared / found - 1 + friction_dust) / (range.frictionMiddle() + friction_dust));
        strain.friction = std::max(strain.friction, std::abs(off) / allowed);
    }
    return strain;
}

double CurveBounds::fall(std::size_t group) const {
    if (m_under_clamp[group]) return 0;
    const double width = m_width ? m_width->fall : 1;
    return width * (m_before_gap[group] ? gap_fall : m_has_seat ? seat_fall : group == 0 ? stretch_fall : 0);
}

double CurveBounds::breadth(std::size_t group, const GroupSums& least, const GroupSums& greatest) const {
    if (m_under_clamp[group]) return 0;
    return (1 + fall(group)) * std::log(greatest.bending_n_mm / least.bending_n_mm) +
           std::log(greatest.membrane_n_per_mm / least.membrane_n_per_mm);
}

double CurveBounds::breadth(const LeverRange& levers) {
    return friction_per_mm * (levers.greatest.of_load - levers.least.of_load + levers.greatest.of_contact -
                              levers.least.of_contact);
}

/// How far pressure may fall, in its logarithm, although sums in the box grow.
double CurveBounds::slack(const SumsBox& box) const {
    double slack = dust;
    for (std::size_t g = 0; g < box.leg_least.size(); ++g)
        slack += fall(g) * std::log(box.leg_greatest[g].bending_n_mm / box.leg_least[g].bending_n_mm);
    return slack;
}

double CurveBounds::boundByOrder(const SumsBox& box, double enough, const LocalModel* model) {
    if (m_has_ring) return 0; // a thicker ring preloads, so the order of stiffness does not hold
    const double slack = this->slack(box);
    if (slack > useful_slack || (m_friction && !model)) return 0;
    const LocalModel* const friction = m_friction ? model : nullptr;
    const auto [soft, stiff] = extremesOf(box);
    for (std::size_t g = 0; g < m_in_gap.size(); ++g) { // the model knows nothing of gaps that differ
        if (m_in_gap[g] && box.least[g].thickness_mm < box.greatest[g].thickness_mm) model = nullptr;
    }
    double bound = 0;
    for (const std::size_t k : m_by_order) {
        if (m_trust[k] != Trust::kinks) continue;
        const double target = m_judge->target().pressures_mpa[m_few[k]];
        const double weight = m_judge->target().weights[m_few[k]];
        const Added added = friction ? addedAtKink(rangeAt(*friction, box, k)) : Added{};
        const auto tooStiff = [&](double low) {
            return weight * (low * std::exp(added.low - slack) / target - 1);
        };
        const auto tooSoft = [&](double high) {
            return weight * (1 - high * std::exp(added.high + slack) / target);
        };
        bool may_be_stiff = true, may_be_soft = true;
        if (model) {
            const SumsBox any_leg{box.leg_least, box.leg_greatest, box.leg_least, box.leg_greatest,
                                  box.levers};
            const Range range = rangeAt(*model, any_leg, k);
            may_be_stiff = tooStiff(std::exp(range.low + model_may_err)) >= enough;
            may_be_soft = tooSoft(std::exp(range.high - model_may_err)) >= enough;
        }
        double pressure = 0; // where it is not found nothing is known, so nothing is excluded
        if (may_be_stiff && m_judge->smoothPressures(soft, {&m_few_mm[k], 1}, {&pressure, 1}))
            bound = std::max(bound, tooStiff(pressure));
        if (bound < enough && may_be_soft &&
            m_judge->smoothPressures(stiff, {&m_few_mm[k], 1}, {&pressure, 1}))
            bound = std::max(bound, tooSoft(pressure));
        if (bound >= enough) break;
    }
    return bound;
}

} // namespace shimledger::planner
