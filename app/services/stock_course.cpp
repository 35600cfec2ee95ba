// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/stock_course.h"

#include "app/services/reorder_need.h"
#include "inventory/stock_history.h"

#include <algorithm>

namespace shimledger::services {

namespace {

/// What is known of one part's future.
struct Ahead {
    std::vector<double> weeks; ///< asked for in each of the next weeks, by season
    double on_order = 0;
    int lead_weeks = 0;
};

int wholeWeeks(int days) {
    return (std::max(0, days) + 6) / 7;
}

/// The stock of a part at the end of each of the weeks back.
std::vector<CoursePoint> walkBack(const inventory::ShopFile& shop, const std::string& part,
                                  inventory::CalendarDate today, int weeks_back) {
    std::vector<double> changes(static_cast<std::size_t>(weeks_back) + 1, 0.0); // before, then each week's
    const auto first = today.plusDays(-7 * weeks_back);
    for (const inventory::LedgerEntry& entry : inventory::StockHistory(shop).ofPart(part)) {
        const auto days = (entry.utc.date().day() - first.day()).count();
        // The week that ends with day first + 7k is number k; what came before stands at 0.
        const auto week = days <= 0 ? 0 : std::min<std::int64_t>(weeks_back, (days + 6) / 7);
        changes[static_cast<std::size_t>(week)] += static_cast<double>(entry.on_hand_change);
    }
    std::vector<CoursePoint> past;
    double pieces = 0;
    int week = 0;
    for (const double change : changes) {
        pieces += change;
        past.push_back({first.plusDays(7 * week++), pieces});
    }
    return past;
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

/// A part that the plan buys.
struct Planned {
    const ReorderLine* line = nullptr;
    double pieces = 0;
    int lead_weeks = 0;
};

std::map<std::string, Planned> plannedParts(const ReorderPlan& plan) {
    std::map<std::string, Planned> parts;
    for (const SupplierOrder& order : plan.orders) {
        for (const ReorderLine& line : order.lines) { // a part may come in two pack sizes
            Planned& part = parts[line.part];
            part.line = &line;
            part.pieces += static_cast<double>(line.pieces());
            part.lead_weeks = wholeWeeks(order.supplier.lead_time_days);
        }
    }
    return parts;
}

} // namespace

std::map<std::string, StockCourse> stockCourses(inventory::ShopFile& shop, const ReorderPlan& plan,
                                                const std::set<std::string>& parts, const CourseSpan& span) {
    std::map<std::string, StockCourse> courses;
    const std::map<std::string, Planned> planned = plannedParts(plan);
    shop.consistently([&] {
        const inventory::CalendarDate today = shop.now().date();
        const auto add = [&](const ReorderLine& line, double pieces, int lead_weeks) {
            StockCourse& course = courses[line.part];
            course = {line.part, line.what, {}, {}, {}, line.reorder_point, line.order_up_to};
            course.past = walkBack(shop, line.part, today, span.weeks_back);
            const Ahead ahead{line.weeks_ahead.value_or(std::vector<double>()),
                              static_cast<double>(line.on_order), lead_weeks};
            const double now = course.past.back().pieces;
            course.without = lookAhead(today, now, ahead, 0, span.weeks_ahead);
            course.with = lookAhead(today, now, ahead, pieces, span.weeks_ahead);
        };
        std::set<std::string> unknown; // to the plan, or not what is expected of it
        for (const std::string& part : parts) {
            const auto found = planned.find(part);
            if (found != planned.end() && found->second.line->weeks_ahead)
                add(*found->second.line, found->second.pieces, found->second.lead_weeks);
            else
                unknown.insert(part);
        }
        if (unknown.empty()) return;
        std::vector<std::string> notes; // they stand in the plan already
        const ReorderInputs inputs = readReorderInputs(shop);
        for (const PartNeed& need : partNeeds(inputs, notes)) {
            if (unknown.count(need.line.part) == 0) continue;
            const auto found = planned.find(need.line.part);
            if (found != planned.end()) {
                add(need.line, found->second.pieces, found->second.lead_weeks);
                continue;
            }
            int lead_weeks = 0;
            for (const auto& supplier : inputs.suppliers) {
                const bool offers = std::any_of(need.offers.begin(), need.offers.end(),
                                                [&](const auto& o) { return o.supplier == supplier.name; });
                if (offers) lead_weeks = std::max(lead_weeks, wholeWeeks(supplier.lead_time_days));
            }
            add(need.line, 0, lead_weeks);
        }
    });
    return courses;
}

} // namespace shimledger::services
