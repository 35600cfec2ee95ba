// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/demand_book.h"
#include "app/services/usable_offers.h"
#include "planner/reorder/shelf_service.h"

#include <string>

namespace shimledger::services {

/// How one part is kept when it is bought by one offer and somebody looks every so many days.
struct Keeping {
    planner::ShelfPolicy policy; ///< costs in hundredths a week
    double promised = 0;         ///< share of jobs, of the part's class
    /// Keeping costs less than the jobs that would stop without: else it is bought when a job wants it.
    bool worth_it = false;
    std::string lot_why; ///< "the economic order"; "" where the lot is one piece
};

/// The promise of the class is kept in any case; where a stopped job costs more than stock, the reorder point
/// is higher. A stopped job costs `waiting_day` for each day that the nearest supplier takes. `quick`: a
/// rougher lot, to compare review periods. Throws InputError.
[[nodiscard]] Keeping keepingOf(const planner::DemandForecast& forecast, const inventory::Part& part,
                                const inventory::ReorderClass& settings, const inventory::SupplierPart& offer,
                                const inventory::Supplier& supplier, int review_days, int nearest_days,
                                inventory::Hundredths waiting_day, bool quick = false);

} // namespace shimledger::services
