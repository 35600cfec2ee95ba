// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/typed_length.h"
#include "inventory/shop_file.h"
#include "inventory/stock_movement.h"
#include "inventory/strip_record.h"
#include "planner/mechanics/lift_curve.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// A row of a strip sheet with what the program makes of it.
struct StripLine {
    inventory::StripRow row;
    std::string what; ///< "shim 24.0 x 6.0 x 0.15"; empty: not identified
    std::optional<Length> mean;
    /// Its drawer is another than the program would choose now.
    bool drawer_named = false;
    std::string candidates; ///< where two parts are equally likely or none fits: one sentence; else empty
};

struct StripView {
    std::string job;
    int leg = 1;
    std::vector<StripLine> lines; ///< piston face first
};

/// Reads a row as it is typed: "4 x 23.9 x 0.148 0.150", count x OD x readings; "2 x 24 SH-24.0-6-0.10" names
/// the part; "> F07" behind them the drawer that the good ones go to; "!1 bent" at the end scraps one of
/// them. Sizes are as typedLength() reads them, each with its own unit or in `bare`. Throws InputError saying
/// what was not understood.
[[nodiscard]] inventory::StripRow parseStripRow(std::string_view text, SizeUnit bare = SizeUnit::millimetres);
/// What parseStripRow() reads as exactly this row.
[[nodiscard]] std::string stripRowText(const inventory::StripRow& row, SizeUnit bare);

/// Names the part of every row that has none and is nearest to exactly one shim of the job's bore, and the
/// drawer that its good discs go back to: the first that holds the part used, else new. Rows that stay open
/// say why.
[[nodiscard]] StripView identifyStrip(inventory::ShopFile& shop, std::string_view job, int leg,
                                      std::vector<inventory::StripRow> rows);

/// identifyStrip, then written down (StripRecords::set); returns what was written. Throws InputError, and
/// nothing is written, where a row that is no shim of the shop is ten times, a tenth or in inches what one
/// is.
StripView recordStrip(inventory::ShopFile& shop, std::string_view job, int leg,
                      std::vector<inventory::StripRow> rows);

/// The sheets of a job as they were written, by leg.
[[nodiscard]] std::vector<StripView> stripSheets(inventory::ShopFile& shop, std::string_view job);

/// Where two legs differ, row by row, and in how they open.
struct LegDifference {
    int row = 0; ///< 1-based
    std::string sentence;
};
struct LegComparison {
    int first_leg = 1, second_leg = 2;
    std::vector<LegDifference> rows; ///< empty: equal within what a micrometer tells (3 um)
    std::optional<planner::CurveDeviation>
        curves; ///< second against first; none where one cannot be computed
    std::string
        curve_sentence; ///< "leg 2 is up to 4.1 % stiffer, most at 0.12 mm of lift", or why there is no curve
};

/// Compares the as-found stacks of two legs by their discs and by their curves up to `working_lift_mm`.
/// Throws InputError when a leg has no as-found stack.
[[nodiscard]] LegComparison compareLegs(inventory::ShopFile& shop, std::string_view job, int first_leg = 1,
                                        int second_leg = 2, double working_lift_mm = 0.30);

/// One lot that goes back to its drawer.
struct PutAwayLine {
    std::string part;
    std::string what;
    std::string bin; ///< empty: no drawer is known yet
    std::int64_t quantity = 0;
    bool among_new = false; ///< the drawer holds new discs of the part, and no used ones yet
};
struct PutAway {
    std::vector<PutAwayLine> lines;    ///< still to go back, in walking order
    std::vector<std::string> left_out; ///< sentences: discs that are scrap or not identified
};

/// What of the strip is still to go back as used: good discs less what has come back to the job.
[[nodiscard]] PutAway putAwayList(inventory::ShopFile& shop, std::string_view job);
/// Posts the returns. Throws InputError while the job's new discs are not pulled (the reclaimed ones go back
/// when it is built), when a line has no drawer, or when there is nothing to put away.
inventory::PostedBatch putAway(inventory::ShopFile& shop, std::string_view job);

} // namespace shimledger::services
