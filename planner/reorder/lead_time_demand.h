// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace shimledger::planner {

/// One length of lead time plus review period, and how likely it is.
struct LeadTimeChance {
    double periods = 0;     ///< > 0
    double probability = 0; ///< 0..1, all together 1
};

/// In days: mean and standard deviation of the lead time, and how often somebody looks whether to order.
struct LeadTimeDays {
    double mean = 0;
    double spread = 0;
    double review = 0;
};

/// Lead time plus review period as a few chances that keep the mean and the variance of the lead time. A
/// negative lead time, spread or review raises InputError.
[[nodiscard]] std::vector<LeadTimeChance> leadTimeChances(const LeadTimeDays& days, double days_per_period);

/// A yardstick beside ShelfService, which plans rest on: where jobs take one piece and somebody looks all the
/// time the two must come to the same. Exact distribution of the whole pieces demanded while an order is on
/// its way. Poisson where the variance does not exceed the mean, else negative binomial with r = m^2/(v-m); a
/// spread lead time is a mixture. Bad figures raise InputError.
class LeadTimeDemand {
public:
    LeadTimeDemand(double mean_per_period, double variance_per_period,
                   const std::vector<LeadTimeChance>& lead_time);

    [[nodiscard]] double probability(int pieces) const; ///< P(D = pieces)
    [[nodiscard]] double cumulative(int pieces) const;  ///< P(D <= pieces): cycle service
    [[nodiscard]] double loss(int pieces) const;        ///< E[(D - pieces)+]: expected backorders
    [[nodiscard]] double mean() const { return m_mean; }
    [[nodiscard]] double variance() const; ///< of demand within and between the lead times
    /// Fewest pieces s with P(D <= s) >= service; service in 0..1, 1 excluded.
    [[nodiscard]] int quantile(double service) const;
    /// Share of demand served from the shelf with order quantity `lot` >= 1 released at `reorder_point`,
    /// the inventory position being uniform on reorder_point+1..reorder_point+lot.
    [[nodiscard]] double fillRate(int reorder_point, int lot) const;
    /// Mean backorders and stock on hand of the same (r, Q) rule.
    [[nodiscard]] double backorders(int reorder_point, int lot) const;
    [[nodiscard]] double onHand(int reorder_point, int lot) const;

private:
    struct Part {
        double mean = 0, variance = 0, weight = 0;
    };
    std::vector<Part> m_parts;
    double m_mean = 0;
};

/// E[(Z - k)+] of the standard normal distribution, for checking against printed tables.
[[nodiscard]] double unitNormalLoss(double k);
/// The z with P(Z <= z) = service; service strictly between 0 and 1.
[[nodiscard]] double normalQuantile(double service);

} // namespace shimledger::planner
