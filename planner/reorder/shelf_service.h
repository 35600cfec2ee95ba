// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/reorder/demand_forecast.h"
#include "planner/reorder/lead_time_demand.h"

#include <cstddef>
#include <vector>

namespace shimledger::planner {

/// What a shelf does for the jobs under the rule "look every `review` periods; at the reorder point s or
/// below, order up to s + lot". A promise is the share of jobs that are served in full from the shelf, which
/// for parts that are asked for in lumps is far from the chance that s outlasts the lead time.
///
/// By convolution, no curve is assumed: jobs come as negative binomial (chance, clumps, and what is not known
/// of their rate), each with its size (Panjer's recursion); the stock after a look has the renewal
/// distribution of an (s, S) rule; a job finds what the lead time and the part of the review period before it
/// have left. Demand that a shelf cannot give waits and is served first.
/// (Renewal form of (s, S): Veinott and Wagner 1965; recursion: Panjer 1981; both from memory, checked
/// against simulation.) Quantities beyond some hundreds are counted in bigger units.
class ShelfService {
public:
    /// `lead_time` without the review period, in periods; review >= 0 (0: after every job). Bad figures raise
    /// InputError.
    ShelfService(const DemandForecast& forecast, const std::vector<LeadTimeChance>& lead_time, double review);

    /// The rule with one lot. The ShelfService must outlive it.
    class WithLot {
    public:
        /// Share of jobs served in full; reorder_point >= 0, here and below.
        [[nodiscard]] double servedShare(int reorder_point) const;
        [[nodiscard]] double onHand(int reorder_point) const; ///< pieces, in the mean of time
        [[nodiscard]] double orders() const;                  ///< a period
        /// The least reorder point >= 0 that serves the share 0..1 (1 excluded).
        [[nodiscard]] int pointFor(double share) const;

    private:
        friend class ShelfService;
        WithLot(const ShelfService& shelf, int lot);
        template <class Value>
        [[nodiscard]] double meanOver(std::size_t least, Value value) const;
        [[nodiscard]] double servedFrom(std::size_t least) const;

        const ShelfService& m_shelf;
        std::vector<double> m_after_look; ///< chances of s+lot, s+lot-1, ... s+1
        double m_looks = 0;               ///< from one order to the next
    };

    [[nodiscard]] WithLot withLot(int lot) const { return {*this, lot}; } ///< lot >= 1

private:
    double m_review = 0, m_jobs = 0;
    int m_unit = 1;                ///< pieces in a cell
    std::vector<double> m_served;  ///< by stock after the look: chance that a job is served
    std::vector<double> m_on_hand; ///< the same: mean stock, in cells
    std::vector<double> m_look;    ///< demand between two looks
};

/// What stock costs a period.
struct ShelfCosts {
    double order = 0;       ///< one more line on an order
    double holding = 0;     ///< one piece
    double stopped_job = 0; ///< a job that is not served; 0: the promise alone decides
};

struct ShelfPolicy {
    int reorder_point = 0;
    int lot = 1;             ///< order up to reorder_point + lot
    double served_share = 0; ///< of jobs, as forecast
    double on_hand = 0;      ///< in the mean
    double orders = 0;       ///< a period
    double cost = 0;         ///< a period, by ShelfCosts

    [[nodiscard]] int orderUpTo() const { return reorder_point + lot; }
};

/// Reorder point and lot together: of lots around `economic_lot` (1..), none above `most_lot`, each with the
/// least reorder point that keeps the promise or, where stopped jobs cost more than stock, a higher one, the
/// cheapest. With `fixed_lot` (a price break) economic_lot alone is tried.
[[nodiscard]] ShelfPolicy shelfPolicy(const ShelfService& service, double jobs_a_period,
                                      double promised_share, const ShelfCosts& costs, double economic_lot,
                                      int most_lot, bool fixed_lot = false);

} // namespace shimledger::planner
