// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/lead_time_demand.h"

#include "planner/units/input_error.h"

#include <boost/math/distributions/negative_binomial.hpp>
#include <boost/math/distributions/normal.hpp>
#include <boost/math/distributions/poisson.hpp>

#include <algorithm>
#include <cmath>

namespace shimledger::planner {

namespace {

// Below this excess of variance the negative binomial is a Poisson to all digits that matter.
bool isPoisson(double mean, double variance) {
    return variance <= mean * (1 + 1e-9);
}

template <class Visit>
double visitDistribution(double mean, double variance, Visit visit) {
    if (isPoisson(mean, variance)) {
        return visit(boost::math::poisson_distribution<>(mean));
    }
    return visit(
        boost::math::negative_binomial_distribution<>(mean * mean / (variance - mean), mean / variance));
}

void require(bool holds, const char* sentence) {
    if (!holds) {
        throw InputError(sentence);
    }
}

} // namespace

LeadTimeDemand::LeadTimeDemand(double mean_per_period, double variance_per_period,
                               const std::vector<LeadTimeChance>& lead_time) {
    require(std::isfinite(mean_per_period) && mean_per_period >= 0,
            "The mean demand per period must be a number of 0 or more.");
    require(std::isfinite(variance_per_period) && variance_per_period >= 0,
            "The variance of demand per period must be a number of 0 or more.");
    double total = 0;
    for (const auto& chance : lead_time) {
        require(std::isfinite(chance.periods) && chance.periods > 0,
                "A lead time with its review period must be longer than 0 periods.");
        require(chance.probability >= 0, "The chance of a lead time must not be negative.");
        total += chance.probability;
        m_parts.push_back(
            {mean_per_period * chance.periods, variance_per_period * chance.periods, chance.probability});
        m_mean += mean_per_period * chance.periods * chance.probability;
    }
    require(std::abs(total - 1) < 1e-9, "The chances of the lead times must add up to 1.");
}

std::vector<LeadTimeChance> leadTimeChances(const LeadTimeDays& days, double days_per_period) {
    require(std::isfinite(days.mean) && days.mean >= 0, "The lead time must be 0 days or more.");
    require(std::isfinite(days.spread) && days.spread >= 0, "The spread of the lead time must be 0 or more.");
    require(std::isfinite(days.review) && days.review >= 0, "The review period must be 0 days or more.");
    require(days_per_period > 0, "A period must be longer than 0 days.");
    const double least = days_per_period / 100; // an order that is there at once still needs a moment
    const auto periods = [&](double lead) { return std::max(least, lead + days.review) / days_per_period; };
    if (days.spread == 0) return {{periods(days.mean), 1}};
    // Three points with the mean and the variance of a normal curve, while the shortest is a length of time.
    const double step = std::sqrt(3.0) * days.spread;
    if (days.mean - step > 0) {
        return {{periods(days.mean - step), 1.0 / 6},
                {periods(days.mean), 4.0 / 6},
                {periods(days.mean + step), 1.0 / 6}};
    }
    // Else two points, the shorter at half the mean: mean and variance are kept.
    if (days.mean == 0) return {{periods(days.spread), 1}};
    const double shorter = days.mean / 2;
    const double longer = days.mean + days.spread * days.spread / (days.mean - shorter);
    const double often = (longer - days.mean) / (longer - shorter);
    return {{periods(shorter), often}, {periods(longer), 1 - often}};
}

double LeadTimeDemand::probability(int pieces) const {
    double sum = 0;
    for (const auto& part : m_parts) {
        if (pieces < 0 || part.mean == 0) {
            sum += pieces == 0 ? part.weight : 0;
        } else {
            sum += part.weight *
                   visitDistribution(part.mean, part.variance, [&](const auto& d) { return pdf(d, pieces); });
        }
    }
    return sum;
}

double LeadTimeDemand::cumulative(int pieces) const {
    double sum = 0;
    for (const auto& part : m_parts) {
        if (pieces < 0 || part.mean == 0) {
            sum += pieces >= 0 ? part.weight : 0;
        } else {
            sum += part.weight *
                   visitDistribution(part.mean, part.variance, [&](const auto& d) { return cdf(d, pieces); });
        }
    }
    return sum;
}

double LeadTimeDemand::variance() const {
    double sum = 0;
    for (const auto& part : m_parts) {
        sum += part.weight * (part.variance + (part.mean - m_mean) * (part.mean - m_mean));
    }
    return sum;
}

double LeadTimeDemand::loss(int pieces) const {
    // E[(D-s)+] = E[D] - s + sum over x < s of (s - x) P(x): finite, so nothing is cut off.
    double sum = m_mean - pieces;
    for (int x = 0; x < pieces; ++x) {
        sum += (pieces - x) * probability(x);
    }
    return sum;
}

int LeadTimeDemand::quantile(double service) const {
    require(service >= 0 && service < 1, "A service level must be at least 0 and less than 1.");
    // Doubling, then halving: fluids are counted in millilitres, by the thousand.
    int enough = 1;
    while (cumulative(enough) < service) {
        require(enough < 1'000'000'000, "The demand during the lead time is beyond all counting.");
        enough *= 2;
    }
    int least = -1; // never enough, as `enough` always is
    while (enough - least > 1) {
        const int middle = least + (enough - least) / 2;
        (middle >= 0 && cumulative(middle) >= service ? enough : least) = middle;
    }
    return enough;
}

double LeadTimeDemand::fillRate(int reorder_point, int lot) const {
    require(lot >= 1, "An order quantity must be at least 1.");
    double sum = 0;
    for (int position = reorder_point + 1; position <= reorder_point + lot; ++position) {
        sum += cumulative(position - 1);
    }
    return sum / lot;
}

double LeadTimeDemand::backorders(int reorder_point, int lot) const {
    require(lot >= 1, "An order quantity must be at least 1.");
    double sum = 0;
    for (int position = reorder_point + 1; position <= reorder_point + lot; ++position) {
        sum += loss(position);
    }
    return sum / lot;
}

double LeadTimeDemand::onHand(int reorder_point, int lot) const {
    return reorder_point + (lot + 1) / 2.0 - m_mean + backorders(reorder_point, lot);
}

double unitNormalLoss(double k) {
    const boost::math::normal_distribution<> normal;
    return pdf(normal, k) - k * cdf(complement(normal, k));
}

double normalQuantile(double service) {
    require(service > 0 && service < 1, "A service level must lie between 0 and 1.");
    return boost::math::quantile(boost::math::normal_distribution<>(), service);
}

} // namespace shimledger::planner
