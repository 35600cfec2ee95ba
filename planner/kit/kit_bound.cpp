// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/kit/kit_bound.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

std::size_t at(int i) {
    return static_cast<std::size_t>(i);
}

/// The relaxation with its prices.
class Relaxation {
public:
    explicit Relaxation(const KitProblem& problem) : m_problem(problem) {
        layWays();
        laySteps();
        m_stock_price.assign(m_stock_rows.size(), 0);
        m_open_price.assign(m_open_rows.size(), 0);
        m_stock_slope = m_stock_price;
        m_open_slope = m_open_price;
    }

    /// The bound at the prices as they are; fills the slopes.
    double evaluate() {
        std::fill(m_stock_slope.begin(), m_stock_slope.end(), 0.0);
        std::fill(m_open_slope.begin(), m_open_slope.end(), 0.0);
        double bound = 0;
        for (const Job& job : m_jobs) {
            double best = 0;
            const Way* chosen = nullptr;
            for (std::size_t w = job.first_way; w < job.end_way; ++w) {
                const Way& way = m_ways[w];
                double value = 1;
                for (std::size_t u = way.first; u < way.end && value > best; ++u) {
                    const Use& use = m_uses[u];
                    value -= use.discs * m_stock_price[use.stock_row] + m_open_price[use.open_row];
                }
                if (value <= best) continue;
                best = value;
                chosen = &way;
            }
            bound += job.count * best;
            for (std::size_t u = chosen ? chosen->first : 0; chosen && u < chosen->end; ++u) {
                const Use& use = m_uses[u];
                m_stock_slope[use.stock_row] -= use.discs * job.count;
                m_open_slope[use.open_row] -= job.count;
            }
        }
        return bound + knapsack();
    }

    /// Goes along the slopes mixed with those of before, for prices not below 0.
    void move(double step) {
        const auto along = [&](std::vector<double>& price, const std::vector<double>& slope) {
            for (std::size_t i = 0; i < price.size(); ++i)
                price[i] = std::max(0.0, price[i] - step * slope[i]);
        };
        along(m_stock_price, m_stock_slope);
        along(m_open_price, m_open_slope);
    }
    [[nodiscard]] double slopeSquared() const {
        double sum = 0;
        const auto add = [&](const std::vector<double>& price, const std::vector<double>& slope) {
            for (std::size_t i = 0; i < price.size(); ++i) {
                if (price[i] > 0 || slope[i] < 0) sum += slope[i] * slope[i];
            }
        };
        add(m_stock_price, m_stock_slope);
        add(m_open_price, m_open_slope);
        return sum;
    }

    using Prices = std::pair<std::vector<double>, std::vector<double>>;
    [[nodiscard]] Prices prices() const { return {m_stock_price, m_open_price}; }
    void setPrices(const Prices& prices) { std::tie(m_stock_price, m_open_price) = prices; }

    [[nodiscard]] std::vector<double> discWorth() const {
        std::vector<double> worth(m_problem.sizes.size(), 0);
        for (std::size_t r = 0; r < m_stock_rows.size(); ++r) worth[at(m_stock_rows[r])] += m_stock_price[r];
        // What opens a size is spread over the discs of the packs that it asks for.
        for (std::size_t r = 0; r < m_open_rows.size(); ++r) {
            const auto& [size, step] = m_open_rows[r];
            const KitStock& stock = m_problem.sizes[at(size)];
            worth[at(size)] +=
                m_open_price[r] /
                static_cast<double>(std::max<std::int64_t>(1, stock.on_hand + step * stock.pack_size));
        }
        return worth;
    }
    [[nodiscard]] double jobPerMoney() const { return m_job_per_money; }

private:
    struct Use {
        std::size_t stock_row = 0, open_row = 0;
        double discs = 0;
    };
    struct Way {
        std::size_t first = 0, end = 0; ///< uses
    };
    struct Job {
        std::size_t first_way = 0, end_way = 0;
        double count = 0; ///< equal ones of one window
    };

    void layWays() {
        for (const KitWindow& window : m_problem.windows) {
            std::map<int, std::size_t> stock_row;
            for (std::size_t j = 0; j < window.size();) {
                std::size_t end = j;
                while (end < window.size() && window[end] == window[j]) ++end;
                std::map<std::pair<int, int>, std::size_t> open_row;
                Job job{m_ways.size(), m_ways.size(), static_cast<double>(end - j)};
                for (const KitWay& way : m_problem.ways[at(window[j])])
                    addWay(way, stock_row, open_row, job.count);
                job.end_way = m_ways.size();
                m_jobs.push_back(job);
                j = end;
            }
        }
    }

    void addWay(const KitWay& way, std::map<int, std::size_t>& stock_row,
                std::map<std::pair<int, int>, std::size_t>& open_row, double count) {
        std::int64_t money = 0;
        for (const KitUse& one : way.uses) {
            const KitStock& stock = m_problem.sizes[at(one.size)];
            const int packs = packsFor(stock, one.discs);
            if (stock.left_out || (packs > 0 && stock.pack_price <= 0)) return;
            money += packs * stock.pack_price;
        }
        if (money > m_problem.budget) return;
        Way laid{m_uses.size(), m_uses.size()};
        for (const KitUse& one : way.uses) {
            const int step = packsFor(m_problem.sizes[at(one.size)], one.discs);
            const auto [stock, new_stock] = stock_row.try_emplace(one.size, m_stock_rows.size());
            if (new_stock) m_stock_rows.push_back(one.size);
            const auto [open, new_open] = open_row.try_emplace({one.size, step}, m_open_rows.size());
            if (new_open) {
                m_open_rows.emplace_back(one.size, step);
                m_open_counts.push_back(count);
            }
            m_uses.push_back({stock->second, open->second, static_cast<double>(one.discs)});
        }
        laid.end = m_uses.size();
        m_ways.push_back(laid);
    }

    /// How many packs of a size there may be any use for.
    void laySteps() {
        std::vector<std::int64_t> most(m_problem.sizes.size(), 0);
        for (const KitWindow& window : m_problem.windows) {
            std::vector<std::int64_t> discs(m_problem.sizes.size(), 0);
            for (const int stack : window) {
                std::map<int, int> greatest;
                for (const KitWay& way : m_problem.ways[at(stack)]) {
                    for (const KitUse& one : way.uses)
                        greatest[one.size] = std::max(greatest[one.size], one.discs);
                }
                for (const auto& [size, count] : greatest) discs[at(size)] += count;
            }
            for (std::size_t i = 0; i < discs.size(); ++i) most[i] = std::max(most[i], discs[i]);
        }
        for (std::size_t i = 0; i < most.size(); ++i) {
            const KitStock& stock = m_problem.sizes[i];
            int packs = stock.pack_price > 0 ? packsFor(stock, most[i]) : 0;
            if (stock.pack_price > 0)
                packs = static_cast<int>(std::min<std::int64_t>(packs, m_problem.budget / stock.pack_price));
            m_steps.push_back(stock.left_out ? -1 : packs);
        }
        m_gain.resize(most.size());
        m_take.resize(most.size());
        for (std::size_t i = 0; i < most.size(); ++i) {
            m_gain[i].assign(at(std::max(0, m_steps[i] + 1)), 0);
            m_take[i].assign(m_gain[i].size(), 0);
        }
    }

    /// How many packs of a size are worth their money and drawer; -1: not even the drawer.
    [[nodiscard]] std::pair<int, double> bestPacks(std::size_t i, double per_money, double per_drawer) const {
        // What is kept has a drawer in any case.
        double best =
            m_problem.sizes[i].kept && !m_gain[i].empty() ? -std::numeric_limits<double>::infinity() : 0;
        double sum = 0;
        int packs = -1;
        const double price = per_money * static_cast<double>(m_problem.sizes[i].pack_price);
        for (std::size_t t = 0; t < m_gain[i].size(); ++t) {
            sum += m_gain[i][t] - (t > 0 ? price : per_drawer);
            if (sum <= best) continue;
            best = sum;
            packs = static_cast<int>(t);
        }
        return {packs, best};
    }

    struct Taken {
        double value = 0, money = 0, drawers = 0;
    };
    [[nodiscard]] Taken takenAt(double per_money, double per_drawer) const {
        Taken taken;
        for (std::size_t i = 0; i < m_gain.size(); ++i) {
            const auto [packs, value] = bestPacks(i, per_money, per_drawer);
            taken.value += value;
            if (packs < 0) continue;
            taken.drawers += 1;
            taken.money += static_cast<double>(packs * m_problem.sizes[i].pack_price);
        }
        return taken;
    }

    /// The price of money at which the budget is just spent, at this price of a drawer, and a little less.
    [[nodiscard]] std::pair<double, double> pricesOfMoney(double per_drawer) const {
        const auto budget = static_cast<double>(m_problem.budget);
        if (takenAt(0, per_drawer).money <= budget) return {0, 0};
        double low = 0, high = 1e-6;
        while (takenAt(high, per_drawer).money > budget) high *= 4;
        for (int halving = 0; halving < 45; ++halving) {
            const double middle = (low + high) / 2;
            (takenAt(middle, per_drawer).money > budget ? low : high) = middle;
        }
        return {low, high};
    }

    [[nodiscard]] double valueAt(double per_money, double per_drawer) const {
        double value =
            takenAt(per_money, per_drawer).value + per_money * static_cast<double>(m_problem.budget);
        if (m_problem.drawers) value += per_drawer * *m_problem.drawers;
        return value;
    }

    /// What the packs are worth at most, and in the slopes what is bought of them.
    double knapsack() {
        for (auto& gain : m_gain) std::fill(gain.begin(), gain.end(), 0.0);
        for (std::size_t r = 0; r < m_stock_rows.size(); ++r) {
            const auto i = at(m_stock_rows[r]);
            const double price = m_stock_price[r];
            if (price <= 0 || m_gain[i].empty()) continue;
            m_gain[i][0] += static_cast<double>(m_problem.sizes[i].on_hand) * price;
            for (std::size_t t = 1; t < m_gain[i].size(); ++t)
                m_gain[i][t] += static_cast<double>(m_problem.sizes[i].pack_size) * price;
        }
        for (std::size_t r = 0; r < m_open_rows.size(); ++r) {
            const auto& [size, step] = m_open_rows[r];
            if (at(step) < m_gain[at(size)].size())
                m_gain[at(size)][at(step)] += m_open_price[r] * m_open_counts[r];
        }
        double per_drawer = 0;
        if (m_problem.drawers && takenAt(pricesOfMoney(0).second, 0).drawers > *m_problem.drawers) {
            double low = 0, high = 1;
            while (high < 1e9 && takenAt(pricesOfMoney(high).second, high).drawers > *m_problem.drawers)
                high *= 4;
            for (int halving = 0; halving < 18; ++halving) {
                const double middle = (low + high) / 2;
                (takenAt(pricesOfMoney(middle).second, middle).drawers > *m_problem.drawers ? low : high) =
                    middle;
            }
            per_drawer = high;
        }
        const auto [low, high] = pricesOfMoney(per_drawer);
        m_job_per_money = high;
        // Both sides of the price at which the budget is just spent, mixed so that it is.
        const double more = takenAt(low, per_drawer).money, less = takenAt(high, per_drawer).money;
        const double part =
            more > less ? std::clamp((static_cast<double>(m_problem.budget) - less) / (more - less), 0.0, 1.0)
                        : 0;
        for (std::size_t i = 0; i < m_gain.size(); ++i) {
            const int few = bestPacks(i, high, per_drawer).first, many = bestPacks(i, low, per_drawer).first;
            for (std::size_t t = 0; t < m_take[i].size(); ++t)
                m_take[i][t] = part * (static_cast<int>(t) <= many ? 1 : 0) +
                               (1 - part) * (static_cast<int>(t) <= few ? 1 : 0);
        }
        std::vector<double> discs(m_gain.size(), 0);
        for (std::size_t i = 0; i < m_gain.size(); ++i) {
            for (std::size_t t = 0; t < m_take[i].size(); ++t)
                discs[i] += m_take[i][t] * static_cast<double>(t == 0 ? m_problem.sizes[i].on_hand
                                                                      : m_problem.sizes[i].pack_size);
        }
        for (std::size_t r = 0; r < m_stock_rows.size(); ++r) m_stock_slope[r] += discs[at(m_stock_rows[r])];
        for (std::size_t r = 0; r < m_open_rows.size(); ++r) {
            const auto& [size, step] = m_open_rows[r];
            if (at(step) < m_take[at(size)].size())
                m_open_slope[r] += m_take[at(size)][at(step)] * m_open_counts[r];
        }
        return std::min(valueAt(low, per_drawer), valueAt(high, per_drawer));
    }

    const KitProblem& m_problem;
    std::vector<Use> m_uses;
    std::vector<Way> m_ways;
    std::vector<Job> m_jobs;
    std::vector<int> m_stock_rows;                   ///< size of each (window, size)
    std::vector<std::pair<int, int>> m_open_rows;    ///< size and packs of each (window, stack, size, packs)
    std::vector<double> m_open_counts;               ///< equal jobs of the row
    std::vector<int> m_steps;                        ///< by size: most packs; -1: left out
    std::vector<std::vector<double>> m_gain, m_take; ///< by size and pack, the drawer itself first
    std::vector<double> m_stock_price, m_open_price, m_stock_slope, m_open_slope;
    double m_job_per_money = 0;
};

} // namespace

KitBound boundKit(const KitProblem& problem, int known, const KitBoundLimits& limits) {
    Relaxation relaxation(problem);
    KitBound best;
    best.built = static_cast<double>(problem.jobs());
    best.disc_worth.assign(problem.sizes.size(), 0);
    Relaxation::Prices best_prices = relaxation.prices();
    constexpr int patience = 25, asked_every = 16;
    double pace = 1;
    int stale = 0;
    for (int round = 0; round < limits.rounds; ++round) {
        if (round % asked_every == 0 && limits.may_go_on && !limits.may_go_on()) break;
        const double bound = relaxation.evaluate();
        if (bound < best.built - 1e-9 || round == 0) {
            stale = bound < best.built * (1 - 1e-4) ? 0 : stale + 1;
            best.built = std::min(best.built, bound);
            best_prices = relaxation.prices();
            best.disc_worth = relaxation.discWorth();
            best.job_per_money = relaxation.jobPerMoney();
        } else {
            ++stale;
        }
        if (best.built < known + 1 - 1e-6) break; // whole jobs: nothing better is left
        if (stale > patience) {
            stale = 0;
            pace /= 1.6;
            relaxation.setPrices(best_prices);
            if (pace < 1e-4) break;
            continue;
        }
        const double squared = relaxation.slopeSquared();
        if (squared < 1e-12) break;
        relaxation.move(pace * std::max(bound - known, 0.02 * bound) / squared);
    }
    return best;
}

} // namespace shimledger::planner
