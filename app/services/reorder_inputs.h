// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/waiting_day.h"
#include "inventory/calendar.h"
#include "inventory/money.h"
#include "inventory/part.h"
#include "inventory/reorder_class.h"
#include "inventory/shop_file.h"
#include "inventory/stock_snapshot.h"
#include "inventory/supplier.h"
#include "planner/reorder/demand_history.h"

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace shimledger::services {

/// Pieces that somebody besides the ledger and the open jobs asks for. Wanted now, or (`expected`) asked for
/// some time: those lower what counts as there, and are bought when the part is at its reorder point.
struct ExtraDemand {
    std::string part;
    std::int64_t pieces = 0;
    std::string why; ///< "to make JOB-1005 possible"
    bool expected = false;
};

/// What one open job wants of one part.
struct JobWant {
    std::string job;
    std::int64_t pieces = 0;
    std::optional<inventory::CalendarDate> due{};
};

/// What open jobs want of one part and nobody has promised them yet.
struct JobDemand {
    std::int64_t pieces = 0;
    std::vector<JobWant> wants; ///< the more urgent first

    [[nodiscard]] std::vector<std::string> jobs() const; ///< their codes
};

/// All that a reorder plan is made from: plain values, so that a plan can be made from any shop, also a wrong
/// one.
struct ReorderInputs {
    inventory::UtcTime made;
    std::int64_t revision = 0;
    std::vector<inventory::Part> parts;
    std::map<std::string, inventory::PartBalance> balances;   ///< by part
    std::map<std::string, std::int64_t> on_order;             ///< by part
    std::map<std::string, inventory::CalendarDate> coming_by; ///< by part: when the last of that is due
    std::map<std::string, JobDemand> job_demand;              ///< by part
    std::map<std::string, planner::DemandHistory> demand;     ///< by part, week by week
    std::vector<std::vector<std::string>> models;             ///< the wear parts of each component model
    std::map<std::string, inventory::ReorderClass> classes;   ///< by class; "" for every other
    std::vector<inventory::Supplier> suppliers;
    std::vector<inventory::SupplierPart> offers;
    std::map<std::string, inventory::CalendarDate> last_orders; ///< by supplier
    std::set<std::string> kit_points; ///< parts whose reorder point is that of a kit plan
    std::vector<ExtraDemand> extra;
    inventory::Hundredths waiting_day = usual_waiting_day; ///< 0: nobody minds

    [[nodiscard]] inventory::ReorderClass classOf(const std::string& part_class) const;
};

/// Reads one state of the shop. Wear parts that inspections put off come in as expected extra demand.
[[nodiscard]] ReorderInputs readReorderInputs(inventory::ShopFile& shop);

} // namespace shimledger::services
