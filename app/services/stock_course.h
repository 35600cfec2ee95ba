// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/reorder.h"
#include "inventory/shop_file.h"

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace shimledger::services {

struct CoursePoint {
    inventory::CalendarDate day;
    double pieces = 0;

    bool operator==(const CoursePoint&) const = default;
};

/// Stock of one part over time: as it was, and as it is expected with and without the plan.
struct StockCourse {
    std::string part;
    std::string what;
    std::vector<CoursePoint> past; ///< on hand at the end of each week, the last today
    std::vector<CoursePoint>
        without;                   ///< ahead, if nothing is ordered: what is on order comes, demand goes on
    std::vector<CoursePoint> with; ///< ahead, if the plan is ordered today
    std::optional<std::int64_t> reorder_point;
    std::int64_t order_up_to = 0;
};

struct CourseSpan {
    int weeks_back = 52;
    int weeks_ahead = 13;
};

/// By part, of the parts named; a part that the plan does not buy has the same course with it as without.
[[nodiscard]] std::map<std::string, StockCourse> stockCourses(inventory::ShopFile& shop,
                                                              const ReorderPlan& plan,
                                                              const std::set<std::string>& parts,
                                                              const CourseSpan& span = {});

} // namespace shimledger::services
