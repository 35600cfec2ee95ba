// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/order_rhythm.h"
#include "app/services/order_solver.h"
#include "app/services/reorder_inputs.h"
#include "inventory/calendar.h"
#include "inventory/supplier.h"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// One part to buy.
struct ReorderLine {
    std::string part;
    std::string what; ///< "shim 24.0 x 6.0 x 0.10"
    std::string unit; ///< "piece", "mm", "ml"
    std::int64_t on_hand = 0;
    std::int64_t reserved = 0;
    std::int64_t on_order = 0;
    std::optional<std::int64_t> reorder_point; ///< from the ledger's demand, else the catalogue's
    std::int64_t order_up_to = 0;              ///< 0: bought for jobs alone
    std::string demand;                        ///< "1.25 a week in jobs of 2 to 4, by season"
    double weekly_demand = 0;                  ///< pieces expected a week, in the mean of the year
    /// Pieces expected in each of the next weeks, by season: empty where nothing is, none where nobody
    /// reckoned it (a line that was added by hand).
    std::optional<std::vector<double>> weeks_ahead{};
    double weeks_left = 0;           ///< how long what is there and on order lasts, by season
    double promised_share = 0;       ///< of jobs served in full from the shelf; 0: no promise
    double served_share = 0;         ///< the same, as the reorder point is expected to do
    std::int64_t short_for_jobs = 0; ///< what open jobs want and the drawers cannot give
    std::int64_t wanted = 0;         ///< before rounding up to packs
    std::vector<std::string> jobs{}; ///< that lack the part, the more urgent first
    std::string supplier;            ///< that it is bought from, or usually comes from
    std::string supplier_code;
    std::int64_t pack_size = 1;
    std::int64_t packs = 0;
    inventory::Hundredths pack_price = 0;               ///< of one pack, if one is bought
    std::vector<inventory::PriceBreak> breaks{};        ///< what a pack costs from so many packs on
    std::optional<inventory::CalendarDate> priced_on{}; ///< the last price's day
    std::optional<int> shelf_life_months{};
    std::string reason{}; ///< the figures: "available 2, reserved 4, reorder point 6, pack of 10"
    std::string plain{};  ///< in one line of plain words: "J1 and J2 lack 5", "lasts about 2 weeks"

    [[nodiscard]] std::int64_t available() const { return on_hand - reserved; }
    [[nodiscard]] std::int64_t pieces() const { return packs * pack_size; }
    [[nodiscard]] inventory::Hundredths price() const; ///< of each of `packs` packs
    [[nodiscard]] inventory::Hundredths total() const { return packs * price(); }
};

/// What to buy from one supplier.
struct SupplierOrder {
    inventory::Supplier supplier;
    std::vector<ReorderLine> lines{}; ///< by part code; a part may come in two pack sizes

    [[nodiscard]] inventory::Hundredths total() const; ///< of the parts, in the supplier's currency
    [[nodiscard]] inventory::Hundredths toPay() const; ///< with freight; 0 where nothing is ordered
    [[nodiscard]] bool belowMinimum() const;
    [[nodiscard]] std::size_t linesToBuy() const;   ///< of at least a pack
    [[nodiscard]] std::size_t linesForJobs() const; ///< of them, those that open jobs lack
};

/// How good a plan is, in one currency.
struct PlanQuality {
    std::string currency;
    planner::PlanMethod method = planner::PlanMethod::none;
    inventory::Hundredths cost = 0;    ///< to pay: goods, freight, and what orders lack of their minimum
    inventory::Hundredths waiting = 0; ///< of jobs beyond their due days, at the price of a waiting day
    double gap = 0;                    ///< share of cost and waiting that a better plan could save at most
    std::string sentence; ///< "Least to pay today, proved: 131.00 EUR (goods 121.50, freight 9.50)"
};

/// What becomes of an open job that lacks parts.
struct JobOutlook {
    std::string job;
    std::optional<inventory::CalendarDate> due{};
    std::optional<inventory::CalendarDate> there{}; ///< all its parts are; none: nobody sells one of them
    bool late = false;                              ///< not there by its due day
    int days_late = 0;                              ///< of parts that come at all
    std::string lacks;                              ///< "4 x shim 24.0 x 6.0 x 0.10"
    std::string advice;   ///< where late: what could be done, in sentences; else empty
    std::string sentence; ///< all of this
};

struct ReorderPlan {
    inventory::UtcTime made;
    std::int64_t revision = 0;
    std::vector<SupplierOrder> orders{};  ///< by supplier name; none is empty
    std::vector<ReorderLine> unoffered{}; ///< wanted, but nobody sells them (packs 0)
    std::vector<std::string> notes{};     ///< sentences: minimum orders not reached, figures that are wrong
    std::vector<PlanQuality> quality{};   ///< by currency
    std::vector<JobOutlook> jobs{};       ///< that lack parts: the late ones first
    std::vector<OrderRhythm> rhythms{};   ///< of the suppliers that parts are kept from, by name
    std::vector<ReorderLine> later{}; ///< at their reorder points, but their supplier's day is still to come
    std::vector<ReorderLine> low{};   ///< kept, at the reorder point or below, the shortest cover first
    inventory::Hundredths waiting_day = 0; ///< the price that the plan counted with
};

struct ReorderOptions {
    OrderSolver solver{};
    std::vector<ExtraDemand> extra{}; ///< beside what the shop file knows
    inventory::Hundredths waiting_day = usual_waiting_day;
};

/// By number in the plan: those that send something for jobs that stand still come first.
[[nodiscard]] std::vector<std::size_t> ordersByUrgency(const ReorderPlan& plan);

/// What to buy, from whom, in whole packs: for each part with a reorder point of its own in the catalogue, up
/// to its order-up-to level once it is at the reorder point of its demand; for any part, what open jobs and
/// extra demand cannot be given. Split over the suppliers at least cost, where a job that waits beyond its
/// due day costs too; a part's reorder point is that of the supplier it is bought from. What only runs low
/// waits for its supplier's day, unless that supplier is ordered from today anyway. A bad figure (price,
/// pack, lead time) is named in the notes, and the rest of the plan still comes. Orders nothing.
[[nodiscard]] ReorderPlan makeReorderPlan(const ReorderInputs& inputs, const OrderSolver& solver = {});
[[nodiscard]] ReorderPlan reorderPlan(inventory::ShopFile& shop, const ReorderOptions& options = {});
/// What buying just these pieces would cost, whatever else runs low.
[[nodiscard]] ReorderPlan purchasePlan(inventory::ShopFile& shop, const std::vector<ExtraDemand>& pieces,
                                       const OrderSolver& solver = {});

} // namespace shimledger::services
