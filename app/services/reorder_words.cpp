// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/reorder_words.h"

#include "inventory/money.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace shimledger::services {

namespace {

std::string counted(std::size_t count, const char* one, const char* many) {
    return count == 1 ? std::string("1 ") + one : std::to_string(count) + " " + many;
}

std::string orderText(const SupplierOrder& order) {
    const std::size_t lines = order.linesToBuy(), for_jobs = order.linesForJobs();
    std::string text = fmt::format(
        "{}: {}, {} {} with freight, {}", order.supplier.name, counted(lines, "line", "lines"),
        inventory::moneyText(order.toPay()), order.supplier.currency,
        order.supplier.lead_time_days == 1 ? std::string("there in a day")
                                           : fmt::format("there in {} days", order.supplier.lead_time_days));
    if (for_jobs > 0) text += "; " + counted(for_jobs, "line is", "lines are") + " for jobs that stand still";
    return text;
}

std::vector<std::string> withoutOrders(const ReorderPlan& plan) {
    std::vector<std::string> words;
    if (!plan.jobs.empty()) { // which, stands above
        words.push_back(counted(plan.jobs.size(), "job stands", "jobs stand") + " still for want of parts");
    }
    constexpr double soon = 4;
    std::vector<const ReorderLine*> out;
    std::size_t none_left = 0;
    for (const SupplierOrder& order : plan.orders) {
        for (const ReorderLine& line : order.lines) {
            if (line.packs == 0 || !(line.weekly_demand > 0) || line.weeks_left >= soon) continue;
            (line.available() + line.on_order <= 0) ? void(++none_left) : out.push_back(&line);
        }
    }
    if (none_left > 0) {
        words.push_back("None is left of " + counted(none_left, "kept part", "kept parts") +
                        ": the next job that wants one stops");
    }
    std::stable_sort(out.begin(), out.end(),
                     [](const auto* a, const auto* b) { return a->weeks_left < b->weeks_left; });
    if (!out.empty()) {
        const auto days = std::llround(7 * out.front()->weeks_left);
        words.push_back(
            fmt::format("{} within 4 weeks, the first ({}) in about {}",
                        out.size() == 1 ? "1 part runs out" : fmt::format("{} parts run out", out.size()),
                        out.front()->what, days <= 1 ? std::string("a day") : fmt::format("{} days", days)));
    }
    return words;
}

std::vector<std::string> rhythmWords(const ReorderPlan& plan) {
    std::vector<std::string> words;
    for (const OrderRhythm& rhythm : plan.rhythms) {
        std::size_t waiting = 0;
        for (const ReorderLine& line : plan.later) waiting += line.supplier == rhythm.supplier ? 1 : 0;
        const bool ordered = std::any_of(plan.orders.begin(), plan.orders.end(), [&](const auto& order) {
            return order.supplier.name == rhythm.supplier && order.total() > 0;
        });
        if (rhythm.next_order && !ordered) {
            words.push_back(
                fmt::format("{}: next order on {}{}", rhythm.supplier, rhythm.next_order->text(),
                            waiting > 0 ? "; until then " + counted(waiting, "part", "parts") + " can wait"
                                        : std::string()));
        }
        if (rhythm.review_days > rhythm.usual_review_days && rhythm.saving() > 0) {
            words.push_back(fmt::format(
                "{}: its {} ordered together every {} weeks make about {:.0f} orders a year "
                "instead of {:.0f}, which saves "
                "about {} {} a year in freight, lines, keeping and stopped jobs at the same promise",
                rhythm.supplier, counted(static_cast<std::size_t>(rhythm.parts), "part", "parts"),
                (rhythm.review_days + 3) / 7, rhythm.orders_a_year, rhythm.usual_orders_a_year,
                inventory::moneyText(rhythm.saving() / 100 * 100), rhythm.currency));
        }
    }
    return words;
}

} // namespace

std::string promiseText(const ReorderLine& line) {
    // Rounded down: 99.6 of 100 are not all.
    return fmt::format("{:.0f} of 100 jobs served in full from the shelf, {:.4g} promised",
                       std::floor(100 * line.served_share + 1e-9), 100 * line.promised_share);
}

std::vector<PlanQuality> costsAsChanged(const ReorderPlan& plan) {
    std::map<std::string, PlanQuality> costs;
    std::map<std::string, inventory::Hundredths> goods;
    for (const SupplierOrder& order : plan.orders) {
        PlanQuality& quality = costs[order.supplier.currency];
        quality.currency = order.supplier.currency;
        quality.cost += order.toPay();
        goods[quality.currency] += order.total();
    }
    std::vector<PlanQuality> list;
    for (auto& [currency, quality] : costs) {
        quality.sentence =
            fmt::format("To pay today, with the packs as they were changed: {} {} (goods {}, "
                        "freight {})",
                        inventory::moneyText(quality.cost), currency, inventory::moneyText(goods[currency]),
                        inventory::moneyText(quality.cost - goods[currency]));
        list.push_back(quality);
    }
    return list;
}

PageOne pageOne(const ReorderPlan& plan) {
    PageOne page;
    for (const JobOutlook& job : plan.jobs) page.stops.push_back(job.sentence);
    for (const std::size_t order : ordersByUrgency(plan)) {
        if (plan.orders[order].total() > 0) page.today.push_back(orderText(plan.orders[order]));
    }
    for (const PlanQuality& quality : plan.quality) page.cost.push_back(quality.sentence);
    page.if_not = withoutOrders(plan);
    page.later = rhythmWords(plan);
    return page;
}

} // namespace shimledger::services
