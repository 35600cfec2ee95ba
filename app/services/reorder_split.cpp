// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/reorder_split.h"

#include "inventory/money.h"
#include "planner/reorder/order_plan.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

namespace shimledger::services {

namespace {

/// The needs of one currency as a problem, and what its indexes stand for.
struct CurrencyPlan {
    std::vector<const PartNeed*> parts;
    std::vector<const inventory::Supplier*> suppliers;
    std::vector<const inventory::SupplierPart*> offers;
    planner::OrderPlanProblem problem;
};

/// One currency's plan, solved.
struct Solved {
    std::string currency;
    planner::OrderPlan plan;
};

planner::PlanOffer planOffer(const inventory::SupplierPart& offer, int supplier, int part) {
    planner::PlanOffer planned{supplier, part, offer.pack_size, {{1, offer.pack_price}}};
    for (const auto& step : offer.breaks) planned.prices.push_back({step.from_packs, step.pack_price});
    return planned;
}

/// What parts that will be used in time could fill an order to this supplier with.
inventory::Hundredths fillable(const std::vector<PartNeed>& needs, const inventory::Supplier& supplier) {
    double sum = 0;
    for (const PartNeed& need : needs) {
        if (!(need.line.weekly_demand > 0)) continue;
        const std::int64_t room = need.room + (need.can_wait ? need.line.wanted : 0);
        for (const auto& offer : need.offers) {
            if (offer.supplier != supplier.name || offer.pack_size > room) continue;
            sum += static_cast<double>(room / offer.pack_size) * static_cast<double>(offer.pack_price);
            break;
        }
    }
    const auto minimum = static_cast<double>(std::max<std::int64_t>(0, supplier.minimum_order.value_or(0)));
    return static_cast<inventory::Hundredths>(std::min(sum, minimum));
}

/// Jobs that wait for what is bought: each needs the pieces of the more urgent ones before it as well.
void addWaits(const ReorderInputs& inputs, CurrencyPlan& plan) {
    std::vector<std::string> order;
    std::map<std::string, planner::PlanWait> waits;
    for (std::size_t p = 0; p < plan.parts.size(); ++p) {
        const ReorderLine& line = plan.parts[p]->line;
        const auto demand = inputs.job_demand.find(line.part);
        if (demand == inputs.job_demand.end()) continue;
        std::int64_t beyond = -std::max<std::int64_t>(0, line.available()) - line.on_order;
        for (const JobWant& want : demand->second.wants) {
            beyond += want.pieces;
            if (beyond <= 0 || !want.due) continue; // served, or nobody was promised a day
            auto [wait, is_new] = waits.try_emplace(want.job);
            if (is_new) {
                order.push_back(want.job);
                wait->second.free_days =
                    static_cast<int>((want.due->day() - inputs.made.date().day()).count());
                wait->second.price = inputs.waiting_day;
            }
            wait->second.needs.push_back({static_cast<int>(p), std::min(beyond, line.wanted)});
        }
    }
    for (const std::string& job : order) plan.problem.waits.push_back(waits.at(job));
}

CurrencyPlan problemOf(const ReorderInputs& inputs, const std::vector<PartNeed>& needs,
                       const std::vector<bool>& active, const std::string& currency) {
    CurrencyPlan plan;
    std::map<std::string, int> supplier_index;
    for (std::size_t n = 0; n < needs.size(); ++n) {
        const PartNeed& need = needs[n];
        if (!active[n] || need.line.wanted <= 0 || need.currency != currency) continue;
        const int part = static_cast<int>(plan.parts.size());
        plan.parts.push_back(&need);
        plan.problem.parts.push_back({need.line.wanted, need.most});
        for (const auto& offer : need.offers) {
            const auto [entry, is_new] =
                supplier_index.try_emplace(offer.supplier, static_cast<int>(plan.suppliers.size()));
            if (is_new) {
                const auto found = std::find_if(inputs.suppliers.begin(), inputs.suppliers.end(),
                                                [&](const auto& s) { return s.name == offer.supplier; });
                plan.suppliers.push_back(&*found);
                plan.problem.suppliers.push_back({std::max<std::int64_t>(0, found->freight.value_or(0)),
                                                  std::max<std::int64_t>(0, found->minimum_order.value_or(0)),
                                                  found->lead_time_days, fillable(needs, *found)});
            }
            plan.offers.push_back(&offer);
            plan.problem.offers.push_back(planOffer(offer, entry->second, part));
        }
    }
    addWaits(inputs, plan);
    return plan;
}

ReorderLine lineOf(const PartNeed& need, const inventory::SupplierPart& offer, std::int64_t packs) {
    ReorderLine line = need.line;
    line.supplier = offer.supplier;
    line.supplier_code = offer.supplier_code;
    line.pack_size = offer.pack_size;
    line.packs = packs;
    line.pack_price = offer.pack_price;
    line.breaks = offer.breaks;
    line.priced_on = offer.priced_on;
    return line;
}

/// What is bought, beside what was asked for.
void finishReason(const PartNeed& need, ReorderLine& line, std::int64_t bought) {
    const bool alone = line.pieces() == bought;
    line.reason = need.why;
    if (line.pack_size > 1) line.reason += ", pack of " + std::to_string(line.pack_size);
    if (need.asked > 0 && bought != need.asked) {
        const std::string wanted = ", " + std::to_string(need.asked) + " wanted";
        if (need.why.size() < wanted.size() || need.why.substr(need.why.size() - wanted.size()) != wanted) {
            line.reason += wanted;
        }
        line.reason += ", " + std::to_string(bought) + " in whole packs" + (alone ? "" : " of two sizes");
    }
    if (need.held_back && need.line.shelf_life_months) {
        line.reason += fmt::format(", held back by shelf life: no more than is used in {} months",
                                   *need.line.shelf_life_months);
    }
}

SupplierOrder& orderTo(std::vector<SupplierOrder>& orders, const inventory::Supplier& supplier) {
    for (SupplierOrder& order : orders) {
        if (order.supplier.name == supplier.name) return order;
    }
    orders.push_back({supplier, {}});
    return orders.back();
}

/// All currencies of the needs that are bought today.
std::vector<SupplierOrder> solve(const ReorderInputs& inputs, const std::vector<PartNeed>& needs,
                                 const std::vector<bool>& active, const OrderSolver& solver,
                                 std::vector<Solved>& solved) {
    std::set<std::string> currencies;
    for (std::size_t n = 0; n < needs.size(); ++n) {
        if (active[n] && needs[n].line.wanted > 0 && !needs[n].currency.empty()) {
            currencies.insert(needs[n].currency);
        }
    }
    std::vector<SupplierOrder> orders;
    solved.clear();
    for (const std::string& currency : currencies) {
        const CurrencyPlan question = problemOf(inputs, needs, active, currency);
        const planner::OrderPlan answer = solveOrderPlan(question.problem, solver);
        std::vector<std::int64_t> bought(question.parts.size(), 0);
        for (std::size_t i = 0; i < answer.packs.size(); ++i) {
            const planner::PlanOffer& offer = question.problem.offers[i];
            bought[static_cast<std::size_t>(offer.part)] += answer.packs[i] * offer.pack_size;
        }
        for (std::size_t i = 0; i < answer.packs.size(); ++i) {
            if (answer.packs[i] == 0) continue;
            const planner::PlanOffer& offer = question.problem.offers[i];
            const auto part = static_cast<std::size_t>(offer.part);
            auto& lines =
                orderTo(orders, *question.suppliers[static_cast<std::size_t>(offer.supplier)]).lines;
            lines.push_back(lineOf(*question.parts[part], *question.offers[i], answer.packs[i]));
            finishReason(*question.parts[part], lines.back(), bought[part]);
        }
        solved.push_back({currency, answer});
    }
    return orders;
}

/// The slowest supplier that a part is bought from; empty: it is not bought.
std::string boughtFrom(const std::vector<SupplierOrder>& orders, const std::string& part) {
    std::string supplier;
    int days = -1;
    for (const SupplierOrder& order : orders) {
        for (const ReorderLine& line : order.lines) {
            if (line.part != part || order.supplier.lead_time_days <= days) continue;
            supplier = order.supplier.name;
            days = order.supplier.lead_time_days;
        }
    }
    return supplier;
}

int leadDays(const ReorderInputs& inputs, const std::string& name) {
    for (const auto& supplier : inputs.suppliers) {
        if (supplier.name == name) return supplier.lead_time_days;
    }
    return 0;
}

/// What jobs are expected to wait, in money, because a part is ordered on its supplier's day and not today:
/// each from the day on which the part runs out until it comes.
double waitingForTheDay(const PartNeed& need, double days_to_order, double lead_days,
                        inventory::Hundredths waiting_day) {
    const double out = 7 * need.line.weeks_left;
    const double later = std::max(0.0, days_to_order + lead_days - out), now = std::max(0.0, lead_days - out);
    return static_cast<double>(waiting_day) * need.jobs_a_week / 7 * (later * later - now * now) / 2;
}

/// Suppliers whose day is still to come, but for whom it would cost more to wait than an order's freight.
std::set<std::string> dueAfterAll(const PartNeeds& book, const std::vector<PartNeed>& needs) {
    const ReorderInputs& inputs = book.inputs();
    std::map<std::string, double> waiting;
    for (const PartNeed& need : needs) {
        if (!need.can_wait) continue;
        const auto next = book.rhythms().at(need.supplier).next_order.value_or(inputs.made.date());
        const auto days = static_cast<double>((next.day() - inputs.made.date().day()).count());
        waiting[need.supplier] +=
            waitingForTheDay(need, days, leadDays(inputs, need.supplier), inputs.waiting_day);
    }
    std::set<std::string> due;
    for (const auto& supplier : inputs.suppliers) {
        const auto cost = waiting.find(supplier.name);
        if (cost != waiting.end() && cost->second > static_cast<double>(supplier.freight.value_or(0))) {
            due.insert(supplier.name);
        }
    }
    return due;
}

PlanQuality qualityOf(const Solved& solved, const ReorderInputs& inputs,
                      const std::vector<SupplierOrder>& orders) {
    PlanQuality quality{solved.currency,          solved.plan.method, 0,
                        solved.plan.cost.waiting, solved.plan.gap(),  {}};
    inventory::Hundredths goods = 0, freight = 0, lacking = 0;
    for (const SupplierOrder& order : orders) {
        if (order.supplier.currency != solved.currency) continue;
        goods += order.total();
        freight += order.toPay() - order.total();
        if (order.belowMinimum()) lacking += *order.supplier.minimum_order - order.total();
    }
    quality.cost = goods + freight + lacking;
    const auto money = [](inventory::Hundredths amount) { return inventory::moneyText(amount); };
    std::string parts = "goods " + money(goods) + ", freight " + money(freight);
    if (lacking > 0) parts += ", " + money(lacking) + " for nothing, as orders lack it of their minimum";
    std::string what = fmt::format("{} {} ({})", money(quality.cost), solved.currency, parts);
    if (quality.waiting > 0) {
        what += fmt::format("; jobs beyond their due days are counted as {} more, {} a day",
                            money(quality.waiting), money(inputs.waiting_day));
    }
    if (solved.plan.cost.filled > 0) {
        what += "; some of the goods are needed only later and fill an order to its minimum";
    }
    if (quality.gap < 1e-9) {
        quality.gap = 0;
        quality.sentence = "Least to pay today with waiting jobs counted, proved: " + what;
    } else if (solved.plan.method == planner::PlanMethod::solver) {
        quality.sentence =
            fmt::format("To pay today: {}; at most {:.1f} % could be saved", what, 100 * quality.gap);
    } else {
        quality.sentence =
            fmt::format("To pay today: {}, by the rule of the cheapest offers (gap at most {:.1f} %), as {}",
                        what, 100 * quality.gap, solved.plan.why_rule);
    }
    return quality;
}

/// The part of this supplier with the shortest cover that can still take a pack of the smallest size.
void fillToMinimum(const std::vector<PartNeed>& needs, SupplierOrder& order) {
    std::map<std::string, std::int64_t> extra; // pieces beyond what is wanted, by part
    for (const ReorderLine& line : order.lines) extra[line.part] += line.pieces() - line.wanted;
    const inventory::Hundredths minimum = order.supplier.minimum_order.value_or(0);
    while (order.total() < minimum) {
        const PartNeed* next = nullptr;
        const inventory::SupplierPart* offer = nullptr;
        double weeks = 0;
        for (const PartNeed& need : needs) {
            if (need.room <= 0 || !(need.line.weekly_demand > 0)) continue;
            const auto from = std::find_if(need.offers.begin(), need.offers.end(),
                                           [&](const auto& o) { return o.supplier == order.supplier.name; });
            const auto taken = extra.find(need.line.part);
            const std::int64_t already = taken == extra.end() ? 0 : std::max<std::int64_t>(0, taken->second);
            if (from == need.offers.end() || already + from->pack_size > need.room) continue;
            const double covered = need.line.weeks_left +
                                   static_cast<double>(need.line.wanted + already) / need.line.weekly_demand;
            if (next != nullptr && covered >= weeks) continue;
            next = &need;
            offer = &*from;
            weeks = covered;
        }
        if (next == nullptr) return;
        extra[next->line.part] += offer->pack_size;
        const auto same = std::find_if(order.lines.begin(), order.lines.end(), [&](const ReorderLine& line) {
            return line.part == next->line.part && line.pack_size == offer->pack_size;
        });
        if (same == order.lines.end()) {
            order.lines.push_back(lineOf(*next, *offer, 1));
            finishReason(*next, order.lines.back(), offer->pack_size);
            order.lines.back().reason += ", to reach the minimum order";
            order.lines.back().plain = "fills the order to its minimum; " + order.lines.back().plain;
        } else {
            ++same->packs;
            const std::string why = ", to reach the minimum order";
            if (same->reason.find(why) == std::string::npos) same->reason += why;
        }
    }
}

} // namespace

void splitOverSuppliers(PartNeeds& book, std::vector<PartNeed>& needs, const OrderSolver& solver,
                        ReorderPlan& plan) {
    const ReorderInputs& inputs = book.inputs();
    std::vector<bool> active;
    const std::set<std::string> due = dueAfterAll(book, needs);
    for (const PartNeed& need : needs) active.push_back(!need.can_wait || due.count(need.supplier) > 0);
    std::vector<Solved> solved;
    // Who delivers decides how much is needed, and that may change who delivers. From the third round on a
    // lead time may only grow, so that it ends.
    constexpr int most_rounds = 8;
    for (int round = 0; round < most_rounds; ++round) {
        plan.orders = solve(inputs, needs, active, solver, solved);
        bool changed = false;
        for (std::size_t n = 0; n < needs.size(); ++n) {
            PartNeed& need = needs[n];
            if (!active[n]) {
                // It goes along with an order that is sent anyway.
                const bool goes_along =
                    std::any_of(plan.orders.begin(), plan.orders.end(), [&](const auto& o) {
                        return o.supplier.name == need.supplier && !o.lines.empty();
                    });
                if (!goes_along || need.line.wanted <= 0) continue;
                active[n] = true;
                changed = true;
                continue;
            }
            const std::string supplier = boughtFrom(plan.orders, need.line.part);
            if (supplier.empty() || supplier == need.supplier) continue;
            const int days = leadDays(inputs, supplier), before = leadDays(inputs, need.supplier);
            if (round >= 2 && days <= before) continue;
            const std::int64_t wanted = need.line.wanted;
            PartNeed other = book.from(need.line.part, supplier);
            other.can_wait = false;
            need = std::move(other);
            changed = changed || need.line.wanted != wanted;
        }
        if (!changed) break;
    }
    // The last change of supplier may have left the figures as they were, but not the words.
    for (SupplierOrder& order : plan.orders) {
        for (ReorderLine& line : order.lines) {
            const auto need = std::find_if(needs.begin(), needs.end(),
                                           [&](const PartNeed& n) { return n.line.part == line.part; });
            line.reorder_point = need->line.reorder_point;
            line.order_up_to = need->line.order_up_to;
            line.served_share = need->line.served_share;
            line.plain = need->line.plain;
        }
    }
    for (std::size_t n = 0; n < needs.size(); ++n) {
        const PartNeed& need = needs[n];
        if (need.line.wanted <= 0) continue;
        if (!active[n]) {
            plan.later.push_back(need.line);
            plan.later.back().reason = need.why;
        } else if (need.currency.empty()) {
            plan.unoffered.push_back(need.line);
            plan.unoffered.back().reason = need.why;
        }
    }
    for (SupplierOrder& order : plan.orders) {
        if (order.belowMinimum()) fillToMinimum(needs, order);
    }
    for (const Solved& one : solved) plan.quality.push_back(qualityOf(one, inputs, plan.orders));
}

} // namespace shimledger::services
