// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/stock_course.h"

#include "app/services/reorder_need.h"
#include "inventory/stock_history.h"

#include <algorithm>

namespace shimledger::services {

namespace {

/// What the plan or the shop knows of one part's future.
struct Ahead {
    std::vector<double> weeks; ///< asked for in each of the next weeks, by season
    double on_order = 0;
    double planned = 0;
    int lead_weeks = 0;
};

int wholeWeeks(int days) {
    return (std::max(0, days) + 6) / 7;
}

/// Walks the ledger once: the stock of each part at the end of each of the weeks back.
void walkBack(const inventory::ShopFile& shop, inventory::CalendarDate today, int weeks_back,
              std::map<std::string, StockCourse>& courses) {
    std::map<std::string, std::vector<double>> changes; // by part: before the first week, then each week's
    for (const auto& [part, course] : courses) {
        changes[part].assign(static_cast<std::size_t>(weeks_back) + 1, 0.0);
    }
    const auto first = today.plusDays(-7 * weeks_back);
    inventory::StockHistory(shop).forEach([&](const inventory::LedgerEntry& entry) {
        const auto found = changes.find(entry.part);
        if (found == changes.end()) return;
        const auto days = (entry.utc.date().day() - first.day()).count();
        // The week that ends with day first + 7k is number k; what came before stands at 0.
        const auto week = days <= 0 ? 0 : std::min<std::int64_t>(weeks_back, (days + 6) / 7);
        found->second[static_cast<std::size_t>(week)] += static_cast<double>(entry.on_hand_change);
    });
    for (auto& [part, course] : courses) {
        double pieces = 0;
        int week = 0;
        for (const double change : changes[part]) {
            pieces += change;
            course.past.push_back({first.plusDays(7 * week++), pieces});
        }
    }
}

std::vector<CoursePoint> lookAhead(inventory::CalendarDate today, double pieces, const Ahead& ahead,
                                   double planned, int weeks) {
    std::vector<CoursePoint> points{{today, pieces}};
    for (int week = 1; week <= weeks; ++week) {
        const auto place = static_cast<std::size_t>(week - 1);
        if (!ahead.weeks.empty()) {
            pieces = std::max(0.0, pieces - ahead.weeks[std::min(place, ahead.weeks.size() - 1)]);
        }
        if (week == std::max(1, ahead.lead_weeks)) pieces += ahead.on_order + planned;
        points.push_back({today.plusDays(7 * week), pieces});
    }
    return points;
}

} // namespace

std::map<std::string, StockCourse> stockCourses(inventory::ShopFile& shop, const ReorderPlan& plan,
                                                const std::set<std::string>& parts, const CourseSpan& span) {
    std::map<std::string, StockCourse> courses;
    std::map<std::string, Ahead> aheads;
    shop.consistently([&] {
        std::vector<std::string> notes; // they stand in the plan already
        const ReorderInputs inputs = readReorderInputs(shop);
        for (const PartNeed& need : partNeeds(inputs, notes)) {
            if (parts.count(need.line.part) == 0) continue;
            courses[need.line.part] = {need.line.part,          need.line.what,       {}, {}, {},
                                       need.line.reorder_point, need.line.order_up_to};
            Ahead& ahead = aheads[need.line.part];
            ahead.weeks = need.weeks_ahead;
            ahead.on_order = static_cast<double>(need.line.on_order);
            for (const auto& supplier : inputs.suppliers) {
                const bool offers = std::any_of(need.offers.begin(), need.offers.end(),
                                                [&](const auto& o) { return o.supplier == supplier.name; });
                if (offers)
                    ahead.lead_weeks = std::max(ahead.lead_weeks, wholeWeeks(supplier.lead_time_days));
            }
        }
        walkBack(shop, inputs.made.date(), span.weeks_back, courses);
        for (const SupplierOrder& order : plan.orders) {
            for (const ReorderLine& line : order.lines) {
                aheads[line.part].planned += static_cast<double>(line.pieces());
                aheads[line.part].lead_weeks = wholeWeeks(order.supplier.lead_time_days);
            }
        }
        for (auto& [part, course] : courses) {
            const Ahead& ahead = aheads[part];
            const double now = course.past.back().pieces;
            course.without = lookAhead(inputs.made.date(), now, ahead, 0, span.weeks_ahead);
            course.with = lookAhead(inputs.made.date(), now, ahead, ahead.planned, span.weeks_ahead);
        }
    });
    return courses;
}

} // namespace shimledger::services
