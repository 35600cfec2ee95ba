#include "planner/reorder/shelf_service.h"

#include "planner/units/input_error.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <set>

namespace shimledger::planner {

namespace {

constexpr double most_cells = 600;

/// Jobs in some stretch of time.
struct JobCount {
    double mean = 0, variance = 0;
};

using Cells = std::vector<double>; ///< chance by demand in cells

Cells cellsOf(const JobSizes& sizes, int unit) {
    Cells of_job;
    for (const SizeChance& size : sizes.chances) {
        const auto cell = static_cast<std::size_t>((size.pieces + unit - 1) / unit);
        if (cell >= of_job.size()) of_job.resize(cell + 1, 0.0);
        of_job[cell] += size.chance;
    }
    return of_job;
}

/// Demand of so many jobs by Panjer's recursion, as far as `length` cells.
Cells compound(const JobCount& count, const JobSizes& sizes, int unit, std::size_t length) {
    const Cells of_job = cellsOf(sizes, unit);
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
        none = std::exp(-b);
    } else {
        const double shape = count.mean * count.mean / (count.variance - count.mean) * part;
        a = 1 - count.mean / count.variance;
        b = (shape - 1) * a;
        none = std::pow(1 - a, shape);
    }
    chances[0] = none;
    for (std::size_t x = 1; x < length; ++x) {
        double sum = 0;
        for (const std::size_t cell : taken) {
            if (cell > x) break;
            sum += (a + b * static_cast<double>(cell) / static_cast<double>(x)) * of_job[cell] *
                   chances[x - cell];
        }
        chances[x] = sum;
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
    Cells own = cellsOf(sizes, unit);
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
    const double exposure = periods * forecast.season.meanAhead(periods);
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
        for (const SizeChance& size : sizes.chances) {
            m_look[std::min(length - 1, static_cast<std::size_t>((size.pieces + m_unit - 1) / m_unit))] +=
                size.chance;
        }
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

std::vector<double> ShelfService::afterLook(int lot) const {
    const auto length = static_cast<std::size_t>(std::max(1, (lot + m_unit / 2) / m_unit));
    std::vector<double> visits(length, 0.0);
    const double again = 1 / std::max(1e-12, 1 - m_look[0]);
    visits[0] = again;
    for (std::size_t k = 1; k < length; ++k) {
        double sum = 0;
        for (std::size_t j = 1; j <= std::min(k, m_look.size() - 1); ++j) sum += m_look[j] * visits[k - j];
        visits[k] = sum * again;
    }
    return visits;
}

template <class Value>
double ShelfService::meanOver(int reorder_point, int lot, Value value) const {
    require(reorder_point >= 0 && lot >= 1, "A reorder point must be 0 or more, and a lot 1 or more.");
    const std::vector<double> visits = afterLook(lot);
    const auto least = static_cast<std::size_t>(reorder_point / m_unit);
    double sum = 0, weight = 0;
    for (std::size_t k = 0; k < visits.size(); ++k) {
        sum += visits[k] * value(least + visits.size() - k);
        weight += visits[k];
    }
    return sum / weight;
}

double ShelfService::servedShare(int reorder_point, int lot) const {
    return meanOver(reorder_point, lot,
                    [&](std::size_t stock) { return m_served[std::min(stock, m_served.size() - 1)]; });
}

double ShelfService::onHand(int reorder_point, int lot) const {
    return m_unit * meanOver(reorder_point, lot, [&](std::size_t stock) {
               const std::size_t last = m_on_hand.size() - 1;
               return stock <= last ? m_on_hand[stock]
                                    : m_on_hand[last] + static_cast<double>(stock - last);
           });
}

double ShelfService::orders(int lot) const {
    require(lot >= 1, "A lot must be 1 or more.");
    double looks = 0;
    for (const double visit : afterLook(lot)) looks += visit;
    return m_review > 0 ? 1 / (m_review * looks) : m_jobs / looks;
}

int ShelfService::pointFor(double share, int lot) const {
    require(share >= 0 && share < 1, "A promised share must be at least 0 and less than 1.");
    const std::vector<double> visits = afterLook(lot);
    double weight = 0;
    for (const double visit : visits) weight += visit;
    const auto served = [&](std::size_t least) {
        double sum = 0;
        for (std::size_t k = 0; k < visits.size(); ++k) {
            sum += visits[k] * m_served[std::min(least + visits.size() - k, m_served.size() - 1)];
        }
        return sum / weight;
    };
    std::size_t never = 0, enough = m_served.size(); // `enough` serves all that can be counted
    if (served(0) >= share) return 0;
    while (enough - never > 1) {
        const std::size_t middle = never + (enough - never) / 2;
        (served(middle) >= share ? enough : never) = middle;
    }
    return static_cast<int>(enough) * m_unit;
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
    const auto policyOf = [&](int point, int lot) {
        ShelfPolicy policy{point, lot, service.servedShare(point, lot), service.onHand(point, lot),
                           service.orders(lot)};
        policy.cost = costs.order * policy.orders + costs.holding * policy.on_hand +
                      costs.stopped_job * jobs_a_period * (1 - policy.served_share);
        return policy;
    };
    std::optional<ShelfPolicy> best;
    for (const int lot : lots) {
        ShelfPolicy policy = policyOf(service.pointFor(promised_share, lot), lot);
        if (costs.stopped_job > 0) {
            // Costs may rise for a piece or two before a whole job more is served.
            constexpr int patience = 12;
            for (int more = 1, in_vain = 0; in_vain < patience && more < 400; ++more, ++in_vain) {
                const ShelfPolicy next = policyOf(policy.reorder_point + in_vain + 1, lot);
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
