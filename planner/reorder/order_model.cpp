// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/reorder/order_model.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <stdexcept>

namespace shimledger::planner {

namespace {

std::string name(char letter, std::size_t first) {
    return letter + std::to_string(first);
}
std::string name(char letter, std::size_t first, std::size_t second) {
    return name(letter, first) + "_" + std::to_string(second);
}

/// One term a line: the format limits the length of lines.
std::string term(std::int64_t factor, const std::string& variable) {
    return std::string(factor < 0 ? " - " : " + ") + std::to_string(std::abs(factor)) + " " + variable + "\n";
}

/// No plan that costs least buys more packs at step t: enough for what is wanted, or just what the step
/// needs.
std::int64_t mostPacks(const OrderPlanProblem& problem, const PlanOffer& offer, std::size_t step) {
    const std::int64_t wanted = problem.parts[static_cast<std::size_t>(offer.part)].wanted;
    return std::max((wanted + offer.pack_size - 1) / offer.pack_size, offer.prices[step].from_packs);
}

class ModelText {
public:
    explicit ModelText(const OrderPlanProblem& problem) : m_problem(problem) {
        for (const PlanSupplier& supplier : problem.suppliers) m_days.push_back(supplier.lead_days);
        std::sort(m_days.begin(), m_days.end());
        m_days.erase(std::unique(m_days.begin(), m_days.end()), m_days.end());
    }

    std::string write() {
        m_text = "\\ order plan: least cost in hundredths\nMinimize\n cost:\n";
        for (std::size_t s = 0; s < m_problem.suppliers.size(); ++s) {
            m_text += term(m_problem.suppliers[s].freight, name('z', s)) + term(1, name('u', s));
            if (m_problem.suppliers[s].fillable > 0) {
                m_text += " + " + std::to_string(fill_share) + " " + name('f', s) + "\n";
            }
        }
        eachLevel([&](std::size_t w, std::size_t level, std::int64_t cost) {
            m_text += term(cost, name('v', w, level));
        });
        eachStep([&](std::size_t i, std::size_t t) { m_text += term(price(i, t), name('x', i, t)); });
        m_text += "Subject To\n";
        for (std::size_t p = 0; p < m_problem.parts.size(); ++p) partRows(p);
        eachStep([&](std::size_t i, std::size_t t) { stepRows(i, t); });
        for (std::size_t s = 0; s < m_problem.suppliers.size(); ++s) minimumRow(s);
        eachLevel([&](std::size_t w, std::size_t level, std::int64_t) { waitRows(w, level); });
        bounds();
        return m_text + "End\n";
    }

private:
    [[nodiscard]] const PlanOffer& offer(std::size_t i) const { return m_problem.offers[i]; }
    [[nodiscard]] std::int64_t price(std::size_t i, std::size_t t) const { return offer(i).prices[t].price; }
    [[nodiscard]] bool stepped(std::size_t i) const { return offer(i).prices.size() > 1; }

    template <class Visit>
    void eachStep(Visit visit) const {
        for (std::size_t i = 0; i < m_problem.offers.size(); ++i) {
            for (std::size_t t = 0; t < offer(i).prices.size(); ++t) visit(i, t);
        }
    }

    /// Every wait and day of arrival after which it costs more not to be served yet; `cost` until the next.
    template <class Visit>
    void eachLevel(Visit visit) const {
        for (std::size_t w = 0; w < m_problem.waits.size(); ++w) {
            const PlanWait& wait = m_problem.waits[w];
            for (std::size_t level = 0; level + 1 < m_days.size(); ++level) {
                const int late = std::max(0, m_days[level] - wait.free_days);
                const std::int64_t cost =
                    wait.price * (std::max(0, m_days[level + 1] - wait.free_days) - late);
                if (cost > 0) visit(w, level, cost);
            }
        }
    }

    /// Served by that day, or v says that it waits on.
    void waitRows(std::size_t w, std::size_t level) {
        std::size_t number = 0;
        for (const PlanNeed& need : m_problem.waits[w].needs) {
            m_text += " wait" + std::to_string(w) + "_" + std::to_string(level) + "_" +
                      std::to_string(number++) + ":\n";
            eachStep([&](std::size_t i, std::size_t t) {
                const int day = m_problem.suppliers[static_cast<std::size_t>(offer(i).supplier)].lead_days;
                if (offer(i).part == need.part && day <= m_days[level]) {
                    m_text += term(offer(i).pack_size, name('x', i, t));
                }
            });
            m_text += term(need.pieces, name('v', w, level)) + " >= " + std::to_string(need.pieces) + "\n";
        }
    }

    void partRows(std::size_t part) {
        std::string pieces;
        eachStep([&](std::size_t i, std::size_t t) {
            if (static_cast<std::size_t>(offer(i).part) == part) {
                pieces += term(offer(i).pack_size, name('x', i, t));
            }
        });
        m_text += " want" + std::to_string(part) + ":\n" + pieces +
                  " >= " + std::to_string(m_problem.parts[part].wanted) + "\n";
        if (const auto most = mostOf(m_problem, static_cast<int>(part))) {
            m_text += " most" + std::to_string(part) + ":\n" + pieces + " <= " + std::to_string(*most) + "\n";
        }
    }

    void stepRows(std::size_t i, std::size_t t) {
        const std::string x = name('x', i, t), of = std::to_string(i) + "_" + std::to_string(t);
        const std::int64_t most = mostPacks(m_problem, offer(i), t);
        m_text += " used" + of + ":\n" + term(1, x) +
                  term(-most, name('z', static_cast<std::size_t>(offer(i).supplier))) + " <= 0\n";
        if (!stepped(i)) return;
        const std::string y = name('y', i, t);
        m_text += " step" + of + ":\n" + term(1, x) + term(-most, y) + " <= 0\n";
        m_text += " from" + of + ":\n" + term(1, x) + term(-offer(i).prices[t].from_packs, y) + " >= 0\n";
        if (t + 1 < offer(i).prices.size()) return;
        m_text += " one" + std::to_string(i) + ":\n";
        for (std::size_t step = 0; step <= t; ++step) m_text += term(1, name('y', i, step));
        m_text += " <= 1\n";
    }

    void minimumRow(std::size_t supplier) {
        m_text += " minimum" + std::to_string(supplier) + ":\n";
        eachStep([&](std::size_t i, std::size_t t) {
            if (static_cast<std::size_t>(offer(i).supplier) == supplier) {
                m_text += term(price(i, t), name('x', i, t));
            }
        });
        if (m_problem.suppliers[supplier].fillable > 0) m_text += term(1, name('f', supplier));
        m_text += term(1, name('u', supplier)) +
                  term(-m_problem.suppliers[supplier].minimum, name('z', supplier)) + " >= 0\n";
    }

    void bounds() {
        m_text += "Bounds\n";
        eachStep([&](std::size_t i, std::size_t t) {
            m_text += " 0 <= " + name('x', i, t) +
                      " <= " + std::to_string(mostPacks(m_problem, offer(i), t)) + "\n";
        });
        for (std::size_t s = 0; s < m_problem.suppliers.size(); ++s) {
            if (m_problem.suppliers[s].fillable == 0) continue;
            m_text +=
                " 0 <= " + name('f', s) + " <= " + std::to_string(m_problem.suppliers[s].fillable) + "\n";
        }
        m_text += "Generals\n";
        eachStep([&](std::size_t i, std::size_t t) { m_text += " " + name('x', i, t) + "\n"; });
        m_text += "Binaries\n";
        for (std::size_t s = 0; s < m_problem.suppliers.size(); ++s) m_text += " " + name('z', s) + "\n";
        eachStep([&](std::size_t i, std::size_t t) {
            if (stepped(i)) m_text += " " + name('y', i, t) + "\n";
        });
        eachLevel([&](std::size_t w, std::size_t level, std::int64_t) {
            m_text += " " + name('v', w, level) + "\n";
        });
    }

    const OrderPlanProblem& m_problem;
    std::vector<int> m_days; ///< on which an order may come, rising
    std::string m_text;
};

std::vector<std::string_view> wordsOf(std::string_view line) {
    std::vector<std::string_view> words;
    while (!line.empty()) {
        const auto begin = line.find_first_not_of(" \t\r");
        if (begin == std::string_view::npos) break;
        const auto end = std::min(line.find_first_of(" \t\r", begin), line.size());
        words.push_back(line.substr(begin, end - begin));
        line.remove_prefix(end);
    }
    return words;
}

std::optional<double> numberIn(std::string_view word) {
    double value = 0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    if (error != std::errc{} || end != word.data() + word.size()) return std::nullopt;
    return value;
}

template <class Visit>
void eachLine(std::string_view text, Visit visit) {
    while (!text.empty()) {
        const auto end = std::min(text.find('\n'), text.size());
        visit(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
    }
}

/// Reads "x12_0" and adds its packs; other variables follow from those.
void takePacks(std::string_view variable, double value, std::vector<std::int64_t>& packs) {
    if (variable.empty() || variable.front() != 'x') return;
    std::size_t offer = 0;
    const auto [end, error] = std::from_chars(variable.data() + 1, variable.data() + variable.size(), offer);
    if (error != std::errc{} || *end != '_' || offer >= packs.size()) return;
    packs[offer] += std::llround(value);
}

} // namespace

std::string orderModelText(const OrderPlanProblem& problem) {
    checkOrderPlanProblem(problem);
    return ModelText(problem).write();
}

OrderModelSolution readOrderSolution(const OrderPlanProblem& problem, std::string_view text) {
    OrderModelSolution solution;
    solution.packs.assign(problem.offers.size(), 0);
    bool first = true, numbers = true;
    eachLine(text, [&](std::string_view line) {
        if (first) {
            solution.optimal = line.substr(0, 7) == "Optimal";
            // "Stopped on time - objective value 13": a plan, not proved best.
            solution.usable = solution.optimal || (line.substr(0, 7) == "Stopped" &&
                                                   line.find("no integer") == std::string_view::npos);
            first = false;
            return;
        }
        const auto words = wordsOf(line); // place, variable, value, reduced cost
        if (words.size() < 3) return;
        const auto value = numberIn(words[2]);
        numbers = numbers && words[0] != "**" && value;
        if (value) takePacks(words[1], *value, solution.packs);
    });
    solution.usable = solution.usable && numbers && !first;
    solution.optimal = solution.optimal && solution.usable;
    return solution;
}

std::optional<double> readLowerBound(std::string_view report) {
    std::optional<double> bound;
    eachLine(report, [&](std::string_view line) {
        const auto words = wordsOf(line);
        if (words.size() == 3 && words[0] == "Lower" && words[1] == "bound:") bound = numberIn(words[2]);
    });
    return bound;
}

OrderPlan finishOrderPlan(const OrderPlanProblem& problem, const OrderModelSolution& solution,
                          std::optional<double> lower_bound, const std::string& why) {
    OrderPlan by_rule = planByRule(problem);
    by_rule.why_rule = why;
    if (!solution.usable) return by_rule;
    OrderPlan plan;
    plan.method = PlanMethod::solver;
    plan.packs = solution.packs;
    try {
        plan.cost = costOfPlan(problem, plan.packs);
    } catch (const std::logic_error&) { // stopped before it had a whole plan
        by_rule.why_rule = "the solver's plan does not serve every part";
        return by_rule;
    }
    const double total = plan.cost.total();
    plan.lower_bound = solution.optimal ? total : std::max(simpleBound(problem), lower_bound.value_or(0));
    // A solver that was cut off may be behind the rule; its bound still holds.
    if (by_rule.cost.total() < plan.cost.total()) {
        plan.packs = by_rule.packs;
        plan.cost = by_rule.cost;
    }
    return plan;
}

} // namespace shimledger::planner
