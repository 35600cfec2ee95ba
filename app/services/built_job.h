// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"
#include "inventory/stock_movement.h"
#include "inventory/stock_snapshot.h"
#include "planner/mechanics/lift_curve.h"
#include "planner/substitute/substitute_result.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// What of one lot went into a job and has not come back, as it was when it was pulled.
struct BuiltLot {
    inventory::UtcTime pulled;
    inventory::Part part;
    std::string bin;
    std::int64_t walking_order = 0;
    inventory::Condition condition = inventory::Condition::fresh;
    std::string wanted_part; ///< the part that it stands in for; empty: itself
    std::int64_t quantity = 0;
    std::optional<inventory::MeasuredThickness> measured; ///< by the readings that there were by then
};

/// What was built, by the ledger: the figures are of the discs as they were known on the day of the pull, and
/// nothing that is booked, measured or priced later changes them.
struct BuiltJob {
    std::vector<BuiltLot> lots;                    ///< shims and all else, in the order of pulling
    std::optional<inventory::UtcTime> built;       ///< when the last of it was pulled; none: nothing went in
    std::vector<inventory::StackRow> target;       ///< of one leg
    std::vector<inventory::StackRow> rows;         ///< of one leg: what was accepted, else the target
    std::optional<Length> clamp_od;                ///< that `rows` stand on, where it is not the valve's
    bool accepted = false;                         ///< `rows` are the accepted stack
    std::vector<std::string> notes;                ///< where the discs pulled are not those of `rows`
    Length target_height;                          ///< nominal
    Length height;                                 ///< nominal, of `rows`
    std::optional<Length> measured_height;         ///< by the readings; none where a row was not read
    double working_lift_mm = 0;                    ///< the curves were compared up to here
    std::optional<planner::CurveDeviation> curves; ///< as pulled, against the target
    std::string curve_sentence; ///< "the pressure differs by up to +1.2 %, ...", or why there is no figure

    [[nodiscard]] std::int64_t discs() const; ///< shims, all legs
};

/// Also of a job that is still at work: what has been pulled so far. Throws InputError when there is no such
/// job, and for a working lift that is not above 0 and at most 5 mm.
[[nodiscard]] BuiltJob builtJob(inventory::ShopFile& shop, std::string_view job,
                                double working_lift_mm = 0.30);

/// Of the job's movements those whose pieces are gone for good: issues with what of them has not come back
/// (of equal ones the last comes back first), and pieces that were scrapped for it; quantities are what is
/// left.
[[nodiscard]] std::vector<inventory::LedgerEntry> usedEntries(inventory::ShopFile& shop,
                                                              std::string_view job);

/// Its rows with the clamp that they stand on.
[[nodiscard]] inventory::JobStack builtStack(const BuiltJob& built);

/// The shims of it as a plan has them.
[[nodiscard]] std::vector<planner::Pull> builtPulls(const BuiltJob& built);

} // namespace shimledger::services
