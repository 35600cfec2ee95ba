// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// Micrometer readings of one lot.
struct MeasuredThickness {
    Length mean; ///< rounded to the whole micrometre
    Length least;
    Length greatest;
    int readings = 0;        ///< 1 or more
    double deviation_mm = 0; ///< standard deviation of the sample; 0 with one reading

    bool operator==(const MeasuredThickness&) const = default;
};

/// One part, in one bin, in one condition.
struct StockLot {
    std::string part;
    PartKind kind = PartKind::other;
    std::string description;
    std::optional<Length> od;
    std::optional<Length> id;
    std::optional<Length> thickness; ///< nominal
    std::string bin;
    std::int64_t walking_order = 0;
    Condition condition = Condition::fresh;
    std::int64_t on_hand = 0;
    std::int64_t reserved = 0;
    std::optional<MeasuredThickness> measured;
    bool part_retired = false; ///< still here, to be used up or counted out, but nothing is planned with it
    bool bin_retired = false;  ///< still holds something, but takes nothing more

    [[nodiscard]] std::int64_t available() const { return on_hand - reserved; }
};

/// What was in the drawers at one moment. `revision` is the number of the last movement: hand it to
/// StockLedger::reserve to be told apart whether a drawer has given away meanwhile what the plan takes.
struct StockSnapshot {
    std::int64_t revision = 0;
    std::vector<StockLot> lots; ///< by walking order, bin, size, part, condition
};

/// All lots that hold anything (on hand above 0), of one kind where one is given.
[[nodiscard]] StockSnapshot stockSnapshot(const ShopFile& shop, std::optional<PartKind> kind = {});

/// The same of these parts alone, each named once, in the same order: what a look at one job needs of a large
/// shop. A code that is not in the catalogue has no lots.
[[nodiscard]] StockSnapshot stockSnapshotOf(const ShopFile& shop, const std::vector<std::string>& parts);

/// Sums over all bins and both conditions of one part.
struct PartBalance {
    std::string part;
    std::int64_t on_hand = 0;
    std::int64_t reserved = 0;

    [[nodiscard]] std::int64_t available() const { return on_hand - reserved; }
};

/// One entry for every part of the catalogue, also those with nothing in stock; by part code.
[[nodiscard]] std::vector<PartBalance> partBalances(const ShopFile& shop);

} // namespace shimledger::inventory
