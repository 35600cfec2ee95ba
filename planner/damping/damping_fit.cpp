// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/damping/damping_fit.h"

#include "planner/damping/damping_valve.h"
#include "planner/units/input_error.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>

#include <boost/math/distributions/students_t.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace shimledger::planner {

namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double least_discharge = 0.3;
constexpr double greatest_discharge = 1.0;
constexpr double widest_bleed_part = 5; // thick oil passes a fifth, and less, of what thin oil does
constexpr int grid = 9;
constexpr int most_steps = 60;
constexpr double settled_part = 1e-9; // of a parameter's range
constexpr double not_reached = 3;     // ln of a miss: worse than anything that is a fit
// When a fit is poor (common practice, no source).
constexpr double poor_miss = 0.05;
constexpr double uneven_miss = 0.01;
constexpr double uneven_correlation = 0.5; // of neighbouring misses
constexpr double unsure_part = 0.25;       // of a figure
constexpr double tied_correlation = 0.95;

/// A fit's unknowns as numbers in [least, greatest].
struct Unknown {
    double least = 0, greatest = 0;
    enum class Kind { discharge, bleed_area } kind = Kind::discharge;
};

double diameterOf(double area_mm2) {
    return std::sqrt(std::max(0.0, area_mm2) * 4 / std::numbers::pi);
}

class Fit {
public:
    Fit(const ValveFlow& flow, const OpeningCurve& opening, std::span<const MeasuredForce> measured,
        FitUnknowns unknowns)
        : m_flow(flow), m_opening(opening), m_measured(measured) {
        if (unknowns.discharge)
            m_unknowns.push_back({least_discharge, greatest_discharge, Unknown::Kind::discharge});
        if (unknowns.bleed) m_unknowns.push_back({0, widestBleed(), Unknown::Kind::bleed_area});
    }

    DampingFit run() {
        VectorXd best = bestOfGrid();
        best = settle(best);
        DampingFit fit;
        fit.flow = flowWith(best);
        scaleClicks(fit.flow);
        const VectorXd misses = missesAt(best);
        fit.misses.assign(misses.begin(), misses.end());
        fit.mean_miss = std::sqrt(misses.squaredNorm() / static_cast<double>(misses.size()));
        tellUncertainty(best, misses, fit);
        tellDoubts(fit);
        return fit;
    }

private:
    /// Area of the bleed that would pass a whole measured flow at its force, the least of all, several times
    /// over.
    [[nodiscard]] double widestBleed() const {
        const double density = oilAt(m_flow.oil, m_flow.temperature_c).density_kg_m3;
        double widest = 1e300;
        for (const MeasuredForce& each : m_measured) {
            const double jet_m_s = std::sqrt(2e6 * each.force_n / m_flow.force_area_mm2 / density);
            widest =
                std::min(widest, each.speed_m_s * m_flow.swept_area_mm2 / m_flow.bleed_discharge / jet_m_s);
        }
        return widest_bleed_part * widest;
    }

    [[nodiscard]] ValveFlow flowWith(const VectorXd& values) const {
        ValveFlow flow = m_flow;
        for (std::size_t i = 0; i < m_unknowns.size(); ++i) {
            const double value = values(static_cast<Eigen::Index>(i));
            if (m_unknowns[i].kind == Unknown::Kind::discharge) {
                flow.curtain_discharge = value;
            } else {
                flow.bleed_diameter_mm = diameterOf(value);
            }
        }
        return flow;
    }

    /// An adjuster whose bleed was fitted at one click is believed to be out by the same part at all.
    void scaleClicks(ValveFlow& flow) const {
        if (flow.bleed_diameter_mm == m_flow.bleed_diameter_mm) return;
        for (AdjusterClick& click : flow.clicks)
            click.bleed_diameter_mm *= flow.bleed_diameter_mm / m_flow.bleed_diameter_mm;
    }

    [[nodiscard]] VectorXd missesAt(const VectorXd& values) const {
        const DampingValve valve(flowWith(values), m_opening);
        VectorXd misses(static_cast<Eigen::Index>(m_measured.size()));
        for (std::size_t i = 0; i < m_measured.size(); ++i) {
            const auto point = valve.atSpeed(m_measured[i].speed_m_s);
            misses(static_cast<Eigen::Index>(i)) =
                point ? std::log(point->force_n / m_measured[i].force_n) : not_reached;
        }
        return misses;
    }

    /// Small values of a bleed are looked at more closely.
    [[nodiscard]] VectorXd bestOfGrid() const {
        const auto count = static_cast<Eigen::Index>(m_unknowns.size());
        VectorXd best(count), values(count);
        double least = 1e300;
        const int second = count > 1 ? grid : 1;
        for (int i = 0; i < grid; ++i) {
            for (int j = 0; j < second; ++j) {
                for (Eigen::Index k = 0; k < count; ++k) {
                    const Unknown& unknown = m_unknowns[static_cast<std::size_t>(k)];
                    double part = (k == 0 ? i : j) / (grid - 1.0);
                    if (unknown.kind == Unknown::Kind::bleed_area) part = part * part * part * part;
                    values(k) = unknown.least + part * (unknown.greatest - unknown.least);
                }
                const double sum = missesAt(values).squaredNorm();
                if (sum < least) {
                    least = sum;
                    best = values;
                }
            }
        }
        return best;
    }

    /// One-sided differences that stay inside the range.
    [[nodiscard]] MatrixXd jacobian(const VectorXd& values, const VectorXd& misses) const {
        MatrixXd result(misses.size(), values.size());
        for (Eigen::Index k = 0; k < values.size(); ++k) {
            const Unknown& unknown = m_unknowns[static_cast<std::size_t>(k)];
            const double range = unknown.greatest - unknown.least;
            double step = 1e-6 * std::max(range * 1e-2, values(k));
            if (values(k) + step > unknown.greatest) step = -step;
            VectorXd moved = values;
            moved(k) += step;
            result.col(k) = (missesAt(moved) - misses) / step;
        }
        return result;
    }

    [[nodiscard]] VectorXd settle(VectorXd values) const {
        VectorXd misses = missesAt(values);
        double sum = misses.squaredNorm();
        double damping = 1e-3;
        for (int step = 0; step < most_steps; ++step) {
            const MatrixXd slopes = jacobian(values, misses);
            MatrixXd normal = slopes.transpose() * slopes;
            normal.diagonal() *= 1 + damping;
            const VectorXd change = -normal.ldlt().solve(slopes.transpose() * misses);
            VectorXd next = values;
            double moved = 0;
            for (Eigen::Index k = 0; k < values.size(); ++k) {
                const Unknown& unknown = m_unknowns[static_cast<std::size_t>(k)];
                if (!std::isfinite(change(k))) return values;
                next(k) = std::clamp(values(k) + change(k), unknown.least, unknown.greatest);
                moved = std::max(moved, std::abs(next(k) - values(k)) / (unknown.greatest - unknown.least));
            }
            const VectorXd next_misses = missesAt(next);
            if (next_misses.squaredNorm() < sum) {
                values = next;
                misses = next_misses;
                sum = misses.squaredNorm();
                damping = std::max(1e-9, damping / 4);
            } else {
                damping *= 8;
            }
            if (moved < settled_part || damping > 1e9) break;
        }
        return values;
    }

    void tellUncertainty(const VectorXd& values, const VectorXd& misses, DampingFit& fit) const {
        const MatrixXd slopes = jacobian(values, misses);
        const MatrixXd normal = slopes.transpose() * slopes;
        const auto freedoms = static_cast<double>(misses.size() - values.size());
        const double variance = misses.squaredNorm() / freedoms;
        const MatrixXd covariance =
            variance * normal.ldlt().solve(MatrixXd::Identity(values.size(), values.size()));
        const double width = boost::math::quantile(boost::math::students_t(freedoms), 0.975);
        for (Eigen::Index k = 0; k < values.size(); ++k) {
            const Unknown& unknown = m_unknowns[static_cast<std::size_t>(k)];
            const double edge = 1e-6 * (unknown.greatest - unknown.least);
            FittedFigure figure{values(k), width * std::sqrt(std::max(0.0, covariance(k, k))),
                                values(k) < unknown.least + edge || values(k) > unknown.greatest - edge};
            if (unknown.kind == Unknown::Kind::discharge) {
                fit.curtain_discharge = figure;
                continue;
            }
            // Of a diameter: half of the interval between the areas' roots; an area below 0 means none.
            const double high = diameterOf(figure.value + figure.uncertainty);
            const double low = diameterOf(figure.value - figure.uncertainty);
            fit.bleed_diameter_mm = FittedFigure{diameterOf(figure.value), (high - low) / 2, figure.at_limit};
        }
        if (values.size() == 2)
            fit.correlation = covariance(0, 1) / std::sqrt(covariance(0, 0) * covariance(1, 1));
    }

    /// How alike neighbouring misses are, in the order of speed.
    [[nodiscard]] double neighbourCorrelation(const std::vector<double>& misses) const {
        std::vector<std::size_t> order(misses.size());
        for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
        std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            return m_measured[a].speed_m_s < m_measured[b].speed_m_s;
        });
        double products = 0, squares = 0;
        for (std::size_t i = 0; i < order.size(); ++i) {
            squares += misses[order[i]] * misses[order[i]];
            if (i > 0) products += misses[order[i]] * misses[order[i - 1]];
        }
        return squares > 0 ? products / squares : 0;
    }

    void tellDoubts(DampingFit& fit) const {
        if (fit.mean_miss > poor_miss)
            fit.doubts.emplace_back(
                "The fit is poor: the model misses the measured forces by more than 5 % in the "
                "mean (root mean square), so its figures are not the valve's.");
        if (fit.misses.size() >= 6 && fit.mean_miss > uneven_miss &&
            neighbourCorrelation(fit.misses) > uneven_correlation)
            fit.doubts.emplace_back(
                "The misses run one way over speed and are no scatter of the bench: something "
                "that was believed (areas, oil, temperature, friction of seals, gas force) is "
                "not so.");
        const auto doubt = [&](const std::optional<FittedFigure>& figure, const char* name) {
            if (!figure) return;
            if (figure->at_limit) {
                fit.doubts.push_back(std::string("The ") + name +
                                     " stopped at the end of the range it was looked for in.");
            } else if (figure->uncertainty > unsure_part * figure->value) {
                fit.doubts.push_back(std::string("The ") + name +
                                     " is hardly told by these measurements: its uncertainty is more than a "
                                     "quarter of it.");
            }
        };
        doubt(fit.curtain_discharge, "discharge");
        doubt(fit.bleed_diameter_mm, "bleed");
        if (std::abs(fit.correlation) > tied_correlation)
            fit.doubts.emplace_back(
                "Discharge and bleed can hardly be told apart by these measurements: measure "
                "slower and faster too, or fit one of them.");
    }

    const ValveFlow& m_flow;
    const OpeningCurve& m_opening;
    std::span<const MeasuredForce> m_measured;
    std::vector<Unknown> m_unknowns;
};

} // namespace

DampingFit fitDamping(const ValveFlow& flow, const OpeningCurve& opening,
                      std::span<const MeasuredForce> measured, FitUnknowns unknowns) {
    const std::size_t count = (unknowns.discharge ? 1U : 0U) + (unknowns.bleed ? 1U : 0U);
    if (count == 0) throw std::logic_error("a fit needs an unknown");
    if (measured.size() < count + 2)
        throw InputError("a fit of " + std::to_string(count) + " needs " + std::to_string(count + 2) +
                         " measured forces or more, and there are " + std::to_string(measured.size()));
    if (unknowns.bleed && flow.click && flow.bleed_diameter_mm <= 0)
        throw InputError(
            "a bleed cannot be fitted at a click where the adjuster is closed: measure further out");
    for (const MeasuredForce& each : measured) {
        if (!(each.speed_m_s > 0 && each.force_n > 0))
            throw InputError("measured speeds and forces must lie above 0: one direction at a time");
    }
    return Fit(flow, opening, measured, unknowns).run();
}

StackOpening fitOpening(const StackSpec& stack, const ValveFlow& flow,
                        std::span<const MeasuredForce> measured) {
    ValveFlow hardest = flow;
    hardest.curtain_discharge = least_discharge;
    hardest.bleed_diameter_mm = 0;
    double greatest_speed = 0;
    for (const MeasuredForce& each : measured) greatest_speed = std::max(greatest_speed, each.speed_m_s);
    return openingOverFlow(stack, std::vector{flow, hardest}, greatest_speed);
}

} // namespace shimledger::planner
