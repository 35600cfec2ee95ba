// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/shelf_service.h"

#include "planner/units/input_error.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <set>

namespace shimledger::planner {

namespace {

constexpr double most_cells = 600;

/// Jobs in some stretch of time.
struct JobCount {
    double mean = 0, variance = 0;
};

using Cells = std::vector<double>; ///< chance by demand in cells

/// Cells that must be there for a job's own pieces: rounded up.
Cells cellsNeeded(const JobSizes& sizes, int unit) {
    Cells of_job;
    for (const SizeChance& size : sizes.chances) {
        const auto cell = static_cast<std::size_t>((size.pieces + unit - 1) / unit);
        if (cell >= of_job.size()) of_job.resize(cell + 1, 0.0);
        of_job[cell] += size.chance;
    }
    return of_job;
}

/// Cells that a job takes: shared between the two nearest, so that the mean is kept.
Cells cellsTaken(const JobSizes& sizes, int unit) {
    Cells of_job;
    for (const SizeChance& size : sizes.chances) {
        const auto cell = static_cast<std::size_t>(size.pieces / unit);
        const double beyond = static_cast<double>(size.pieces % unit) / unit;
        if (cell + 1 >= of_job.size()) of_job.resize(cell + 2, 0.0);
        of_job[cell] += size.chance * (1 - beyond);
        of_job[cell + 1] += size.chance * beyond;
    }
    return of_job;
}

/// Demand of so many jobs by Panjer's recursion, as far as `length` cells.
Cells compound(const JobCount& count, const JobSizes& sizes, int unit, std::size_t length) {
    const Cells of_job = cellsTaken(sizes, unit);
    const double no_cell = of_job[0]; // jobs too small for a cell
    std::vector<std::size_t> taken;
    for (std::size_t cell = 1; cell < of_job.size(); ++cell) {
        if (of_job[cell] > 0) taken.push_back(cell);
    }
    Cells chances(length, 0.0);
    const bool poisson = count.variance <= count.mean * (1 + 1e-9);
    double a = 0, b = 0, none = 0;
    int halvings = 0;
    for (double mean = count.mean; mean > 300; mean /= 2) ++halvings; // else the first chance is 0
    const double part = std::exp2(-halvings);
    if (poisson) {
        b = count.mean * part;
        none = std::exp(-b * (1 - no_cell));
    } else {
        const double shape = count.mean * count.mean / (count.variance - count.mean) * part;
        a = 1 - count.mean / count.variance;
        b = (shape - 1) * a;
        none = std::pow((1 - a) / (1 - a * no_cell), shape);
    }
    chances[0] = none;
    for (std::size_t x = 1; x < length; ++x) {
        double sum = 0;
        for (const std::size_t cell : taken) {
            if (cell > x) break;
            sum += (a + b * static_cast<double>(cell) / static_cast<double>(x)) * of_job[cell] *
                   chances[x - cell];
        }
        chances[x] = sum / (1 - a * no_cell);
    }
    for (; halvings > 0; --halvings) {
        Cells twice(length, 0.0);
        for (std::size_t i = 0; i < length; ++i) {
            for (std::size_t k = 0; i + k < length; ++k) twice[i + k] += chances[i] * chances[k];
        }
        chances = std::move(twice);
    }
    return chances;
}

/// What must be there for a job to be served in full: its own pieces, and those of the jobs of its clump that
/// stand before it. Clumps are taken for geometric: variance / mean of jobs = 2c - 1 for clumps of c in the
/// mean, and before a job stand c - 1 of its clump, geometric too.
Cells neededBy(const JobSizes& sizes, double clumping, int unit, std::size_t length) {
    Cells own = cellsNeeded(sizes, unit);
    if (clumping <= 1) return own;
    const double ahead = (clumping - 1) / 2;
    const Cells before = compound({ahead, ahead + ahead * ahead}, sizes, unit, length);
    Cells needed(length, 0.0);
    for (std::size_t cell = 1; cell < own.size(); ++cell) {
        if (own[cell] == 0) continue;
        for (std::size_t x = 0; x + cell < length; ++x) needed[x + cell] += own[cell] * before[x];
    }
    return needed;
}

/// Jobs in the next `periods`, by season; what is not known of the rate grows with the square of the time.
JobCount jobsAhead(const DemandForecast& forecast, double periods) {
    const double exposure = periods * forecast.jobsAhead(periods);
    const double mean = forecast.jobs * exposure;
    return {mean, mean * forecast.clumping + exposure * exposure * forecast.jobs_variance};
}

void require(bool holds, const char* sentence) {
    if (!holds) throw InputError(sentence);
}

} // namespace

ShelfService::ShelfService(const DemandForecast& forecast, const std::vector<LeadTimeChance>& lead_time,
                           double review)
    : m_review(review), m_jobs(forecast.jobs) {
    require(std::isfinite(review) && review >= 0, "The review period must be 0 or more.");
    require(std::isfinite(forecast.jobs) && forecast.jobs >= 0 && forecast.jobs_variance >= 0,
            "Jobs per period and what is not known of them must be 0 or more.");
    require(!lead_time.empty(), "A lead time is missing.");
    JobSizes sizes = forecast.sizes;
    if (sizes.chances.empty()) sizes.chances = {{1, 1}};
    struct Stretch {
        double periods = 0, weight = 0;
    };
    std::vector<Stretch> stretches;
    const int looks = review > 2 ? 4 : review > 0 ? 2 : 1; // moments between two looks
    double total = 0, longest = 0;
    for (const LeadTimeChance& chance : lead_time) {
        require(std::isfinite(chance.periods) && chance.periods > 0 && chance.probability >= 0,
                "A lead time must be longer than 0 periods.");
        total += chance.probability;
        for (int i = 0; i < looks; ++i) {
            stretches.push_back({chance.periods + review * (i + 0.5) / looks, chance.probability / looks});
            longest = std::max(longest, stretches.back().periods);
        }
    }
    require(std::abs(total - 1) < 1e-9, "The chances of the lead times must add up to 1.");
    const JobCount most = jobsAhead(forecast, longest);
    const double mean = most.mean * sizes.mean();
    const double spread = std::sqrt(most.mean * (sizes.meanSquare() - sizes.mean() * sizes.mean()) +
                                    most.variance * sizes.mean() * sizes.mean());
    const double reach = mean + 10 * spread + 2 * sizes.chances.back().pieces + 4;
    m_unit = std::max(1, static_cast<int>(std::ceil(reach / most_cells)));
    const auto length = static_cast<std::size_t>(reach / m_unit) + 2;
    Cells demand(length, 0.0);
    for (const Stretch& stretch : stretches) {
        if (!(stretch.weight > 0)) continue;
        const Cells part = compound(jobsAhead(forecast, stretch.periods), sizes, m_unit, length);
        for (std::size_t x = 0; x < length; ++x) demand[x] += stretch.weight * part[x];
    }
    if (review > 0) {
        const double jobs = forecast.jobs * review;
        m_look = compound({jobs, jobs * forecast.clumping}, sizes, m_unit, length);
    } else {
        m_look.assign(length, 0.0);
        const Cells of_job = cellsTaken(sizes, m_unit);
        for (std::size_t x = 0; x < std::min(length, of_job.size()); ++x) m_look[x] = of_job[x];
    }
    Cells at_most(length, 0.0);
    double sum = 0;
    for (std::size_t x = 0; x < length; ++x) at_most[x] = sum += demand[x];
    const Cells needed = neededBy(sizes, forecast.clumping, m_unit, length);
    m_served.assign(length, 0.0);
    m_on_hand.assign(length, 0.0);
    for (std::size_t stock = 1; stock < length; ++stock) {
        m_on_hand[stock] = m_on_hand[stock - 1] + at_most[stock - 1];
        for (std::size_t cell = 1; cell <= std::min(stock, needed.size() - 1); ++cell) {
            if (needed[cell] > 0) m_served[stock] += needed[cell] * at_most[stock - cell];
        }
    }
}

ShelfService::WithLot::WithLot(const ShelfService& shelf, int lot) : m_shelf(shelf) {
    require(lot >= 1, "A lot must be 1 or more.");
    const std::vector<double>& look = shelf.m_look;
    const auto length = static_cast<std::size_t>(std::max(1, (lot + shelf.m_unit / 2) / shelf.m_unit));
    m_after_look.assign(length, 0.0);
    const double again = 1 / std::max(1e-12, 1 - look[0]);
    m_after_look[0] = again;
    for (std::size_t k = 1; k < length; ++k) {
        double sum = 0;
        for (std::size_t j = 1; j <= std::min(k, look.size() - 1); ++j) sum += look[j] * m_after_look[k - j];
        m_after_look[k] = sum * again;
    }
    for (const double visits : m_after_look) m_looks += visits;
    for (double& visits : m_after_look) visits /= m_looks;
}

template <class Value>
double ShelfService::WithLot::meanOver(std::size_t least, Value value) const {
    double sum = 0;
    for (std::size_t k = 0; k < m_after_look.size(); ++k) {
        sum += m_after_look[k] * value(least + m_after_look.size() - k);
    }
    return sum;
}

double ShelfService::WithLot::servedFrom(std::size_t least) const {
    const std::vector<double>& served = m_shelf.m_served;
    return meanOver(least, [&](std::size_t stock) { return served[std::min(stock, served.size() - 1)]; });
}

double ShelfService::WithLot::servedShare(int reorder_point) const {
    require(reorder_point >= 0, "A reorder point must be 0 or more.");
    return servedFrom(static_cast<std::size_t>(reorder_point / m_shelf.m_unit));
}

double ShelfService::WithLot::onHand(int reorder_point) const {
    require(reorder_point >= 0, "A reorder point must be 0 or more.");
    const std::vector<double>& on_hand = m_shelf.m_on_hand;
    const std::size_t last = on_hand.size() - 1;
    return m_shelf.m_unit *
           meanOver(static_cast<std::size_t>(reorder_point / m_shelf.m_unit), [&](std::size_t stock) {
               return stock <= last ? on_hand[stock] : on_hand[last] + static_cast<double>(stock - last);
           });
}

double ShelfService::WithLot::orders() const {
    return m_shelf.m_review > 0 ? 1 / (m_shelf.m_review * m_looks) : m_shelf.m_jobs / m_looks;
}

int ShelfService::WithLot::pointFor(double share) const {
    require(share >= 0 && share < 1, "A promised share must be at least 0 and less than 1.");
    if (servedFrom(0) >= share) return 0;
    std::size_t never = 0, enough = m_shelf.m_served.size(); // `enough` serves all that can be counted
    while (enough - never > 1) {
        const std::size_t middle = never + (enough - never) / 2;
        (servedFrom(middle) >= share ? enough : never) = middle;
    }
    return static_cast<int>(enough) * m_shelf.m_unit;
}

ShelfPolicy shelfPolicy(const ShelfService& service, double jobs_a_period, double promised_share,
                        const ShelfCosts& costs, double economic_lot, int most_lot, bool fixed_lot) {
    require(economic_lot >= 0 && most_lot >= 1, "A lot must be 1 or more.");
    std::set<int> lots;
    for (const double part : {0.2, 0.35, 0.5, 0.7, 1.0, 1.4}) {
        if (fixed_lot && part != 1.0) continue;
        lots.insert(static_cast<int>(
            std::clamp(std::round(economic_lot * part), 1.0, static_cast<double>(most_lot))));
    }
    std::optional<ShelfPolicy> best;
    for (const int lot : lots) {
        const ShelfService::WithLot shelf = service.withLot(lot);
        const double orders = shelf.orders();
        const auto policyOf = [&](int point) {
            ShelfPolicy policy{point, lot, shelf.servedShare(point), shelf.onHand(point), orders};
            policy.cost = costs.order * orders + costs.holding * policy.on_hand +
                          costs.stopped_job * jobs_a_period * (1 - policy.served_share);
            return policy;
        };
        ShelfPolicy policy = policyOf(shelf.pointFor(promised_share));
        if (costs.stopped_job > 0) {
            // Costs may rise for some pieces before a whole job more is served.
            constexpr int patience = 12;
            for (int point = policy.reorder_point + 1, in_vain = 0; in_vain < patience; ++point, ++in_vain) {
                const ShelfPolicy next = policyOf(point);
                if (next.cost >= policy.cost) continue;
                policy = next;
                in_vain = -1;
            }
        }
        if (!best || policy.cost < best->cost) best = policy;
    }
    return *best;
}

} // namespace shimledger::planner
