// SPDX-License-Identifier: GPL-3.0-or-later
// What two studies say of one another; each alone is in damping_study.cpp.
#include "planner/damping/damping_study.h"

#include "planner/stack/needle_adjuster.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

namespace shimledger::planner {

namespace {

constexpr double first_climb_part = 0.25; // of a range
constexpr double last_climb_part = 1.0 / 64;
constexpr double click_speed_m_s = 0.1; // where an adjuster that works as a bleed is felt

class Comparison {
public:
    Comparison(const DampedStack& damped, const DampingStudy& study, const DampedStack& other,
               const DampingStudy& of_other)
        : m_damped(damped), m_study(study), m_other(other), m_of_other(of_other) {}

    [[nodiscard]] std::optional<ClickMatch> clicks() const {
        if (!m_damped.flow.click || !m_study.opening.curve || !m_of_other.opening.curve) return {};
        return matchClicks(click_speed_m_s);
    }

    DampingComparison run() {
        DampingComparison result;
        if (!m_study.opening.curve || !m_of_other.opening.curve) return result;
        addRatios(result.points);
        for (const double temperature : told_temperatures_c) {
            std::vector<double> ratios;
            for (const RatioPoint& point : result.points) {
                ValveFlow flow = m_damped.flow, of_other = m_other.flow;
                flow.temperature_c = of_other.temperature_c = temperature;
                const auto ratio = ratioAt(flow, of_other, point.speed_m_s);
                if (!ratio) break;
                ratios.push_back(*ratio);
            }
            result.ratios_by_temperature.push_back(std::move(ratios));
        }
        if (m_damped.flow.click && !result.points.empty())
            result.clicks = matchClicks(result.points.back().speed_m_s);
        return result;
    }

private:
    [[nodiscard]] DampingValve valve(const ValveFlow& flow) const { return {flow, *m_study.opening.curve}; }
    [[nodiscard]] DampingValve otherValve(const ValveFlow& flow) const {
        return {flow, *m_of_other.opening.curve};
    }

    [[nodiscard]] std::optional<double> ratioAt(const ValveFlow& flow, const ValveFlow& of_other,
                                                double speed_m_s) const {
        return ratioOf(valve(flow), otherValve(of_other), speed_m_s);
    }

    [[nodiscard]] static std::optional<double> ratioOf(const DampingValve& here, const DampingValve& there,
                                                       double speed_m_s) {
        const auto a = here.atSpeed(speed_m_s), b = there.atSpeed(speed_m_s);
        if (!a || !b) return {};
        return a->force_n / b->force_n;
    }

    void addRatios(std::vector<RatioPoint>& points) const {
        const std::size_t count = std::min({m_study.points.size(), m_of_other.points.size()});
        for (std::size_t i = 0; i < count; ++i) {
            const DampingPoint& here = m_study.points[i];
            const DampingPoint& there = m_of_other.points[i];
            if (here.speed_m_s != there.speed_m_s) throw std::logic_error("studies over different speeds");
            RatioPoint point;
            point.speed_m_s = here.speed_m_s;
            point.force_ratio = here.force_n / there.force_n;
            point.band = {point.force_ratio, point.force_ratio};
            const double lift = there.opening.lift_mm;
            if (const auto pressure = m_study.opening.curve->pressureAtLift(lift); pressure && lift > 0)
                point.stack_ratio = *pressure / there.pressure_beneath_mpa;
            points.push_back(point);
        }
        for (const bool least : {true, false}) addBandEnds(least, points);
    }

    using Ranges = std::array<FigureRange, varied_figures.size()>;

    /// The least or the greatest ratio at every speed, the same discharges, oils and temperatures in both
    /// valves: the best of a grid, and from there uphill, one figure at a time, in steps that are halved.
    /// Where a disc warps the ratio turns inside the ranges, so that their ends are not enough.
    void addBandEnds(bool least, std::vector<RatioPoint>& points) const {
        const auto better = [&](double a, double b) { return least ? a < b : a > b; };
        const Ranges ranges = variationRanges(m_damped.flow, working_temperatures_c);
        std::vector<FlowVariation> starts(points.size(), own());
        std::vector<double> ends;
        for (const RatioPoint& point : points) ends.push_back(point.force_ratio);
        for (const FlowVariation& variation : variationGrid(m_damped.flow, working_temperatures_c)) {
            const DampingValve here = valve(varied(m_damped.flow, variation));
            const DampingValve there = otherValve(varied(m_other.flow, variation));
            for (std::size_t i = 0; i < points.size(); ++i) {
                const auto ratio = ratioOf(here, there, points[i].speed_m_s);
                if (!ratio) break;
                if (!better(*ratio, ends[i])) continue;
                ends[i] = *ratio;
                starts[i] = variation;
            }
        }
        for (std::size_t i = 0; i < points.size(); ++i) {
            double& end = least ? points[i].band.least : points[i].band.greatest;
            end = ends[i];
            climb(points[i].speed_m_s, ranges, better, starts[i], end);
        }
    }

    [[nodiscard]] FlowVariation own() const {
        const ValveFlow& flow = m_damped.flow;
        return {
            flow.curtain_discharge, flow.port_discharge, flow.bleed_discharge, 1,
            std::clamp(flow.temperature_c, working_temperatures_c.least, working_temperatures_c.greatest)};
    }

    template <class Better>
    void climb(double speed_m_s, const Ranges& ranges, Better better, FlowVariation from, double& end) const {
        for (double part = first_climb_part; part >= last_climb_part; part /= 2) {
            for (std::size_t k = 0; k < ranges.size(); ++k) {
                for (const double sign : {-1.0, 1.0}) {
                    FlowVariation next = from;
                    double& figure = next.*varied_figures[k];
                    figure = std::clamp(figure + sign * part * (ranges[k].greatest - ranges[k].least),
                                        ranges[k].least, ranges[k].greatest);
                    if (figure == from.*varied_figures[k]) continue;
                    const auto ratio =
                        ratioAt(varied(m_damped.flow, next), varied(m_other.flow, next), speed_m_s);
                    if (!ratio || !better(*ratio, end)) continue;
                    end = *ratio;
                    from = next;
                }
            }
        }
    }

    [[nodiscard]] std::optional<double> ratioWithClick(int click, double speed_m_s) const {
        ValveFlow flow = m_damped.flow;
        flow.click = click;
        flow.bleed_diameter_mm = bleedDiameterAt(flow.clicks, click);
        return ratioAt(flow, m_other.flow, speed_m_s);
    }

    [[nodiscard]] std::optional<ClickMatch> matchClicks(double last_speed_m_s) const {
        ClickMatch match;
        match.speed_m_s = std::min(click_speed_m_s, last_speed_m_s);
        const int first = m_damped.flow.clicks.front().click, last = m_damped.flow.clicks.back().click;
        match.other_click = m_other.flow.click.value_or(*m_damped.flow.click);
        if (match.other_click < first || match.other_click > last) return {};
        const auto same = ratioWithClick(match.other_click, match.speed_m_s);
        if (!same) return {};
        match.ratio_at_same_click = match.ratio = *same;
        match.click = match.other_click;
        for (int click = first; click <= last; ++click) {
            const auto ratio = ratioWithClick(click, match.speed_m_s);
            if (!ratio || !(std::abs(std::log(*ratio)) < std::abs(std::log(match.ratio)))) continue;
            match.ratio = *ratio;
            match.click = click;
        }
        match.at_end = (match.click == first && match.ratio < 1) || (match.click == last && match.ratio > 1);
        if (match.other_click < last) {
            if (const auto next = ratioWithClick(match.other_click + 1, match.speed_m_s))
                match.one_click_out = *next / match.ratio_at_same_click;
        }
        return match;
    }

    const DampedStack& m_damped;
    const DampingStudy& m_study;
    const DampedStack& m_other;
    const DampingStudy& m_of_other;
};

} // namespace

DampingComparison compareDamping(const DampedStack& damped, const DampingStudy& study,
                                 const DampedStack& other, const DampingStudy& of_other) {
    return Comparison(damped, study, other, of_other).run();
}

std::optional<ClickMatch> matchClicks(const DampedStack& damped, const StackSpec& other) {
    if (!damped.flow.click) return {};
    ValveFlow closed = damped.flow; // where the stacks open most
    closed.bleed_diameter_mm = damped.flow.clicks.front().bleed_diameter_mm;
    const std::array flows{closed, damped.flow};
    DampingStudy study, of_other;
    study.opening = openingOverFlow(damped.stack, flows, click_speed_m_s);
    of_other.opening = openingOverFlow(other, flows, click_speed_m_s);
    return Comparison(damped, study, {other, damped.flow}, of_other).clicks();
}

} // namespace shimledger::planner
