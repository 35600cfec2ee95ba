// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/shop_file.h"
#include "planner/units/length.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// Equal discs that lay together in a stack that was taken apart.
struct StripRow {
    std::int64_t count = 1; ///< 1 to 1000
    Length od;              ///< by caliper, 3 to 100 mm
    std::vector<Length>
        readings;             ///< by micrometer, 0.02 to 5 mm, at most 20; may be empty where `part` is said
    std::string part;         ///< the catalogue shim that they are; empty: not identified
    std::int64_t scrap = 0;   ///< bent or scored: so many of `count` are not used again
    std::string scrap_reason; ///< needed where `scrap` is above 0
    std::string bin;          ///< drawer that the good ones go back to; empty: said when they go back

    [[nodiscard]] std::int64_t good() const { return count - scrap; }
    bool operator==(const StripRow&) const = default;
};

/// What was found in one leg, from the piston face to the clamp.
struct StripSheet {
    std::string job;
    int leg = 1; ///< 1, 2, ...
    UtcTime utc; ///< when it was written down; now where it is not given
    std::vector<StripRow> rows;
};

/// The mean of the readings, to the whole micrometre; none without a reading.
[[nodiscard]] std::optional<Length> meanReading(const StripRow& row);

/// The strip sheets of the jobs. The ShopFile must outlive it.
class StripRecords {
public:
    explicit StripRecords(ShopFile& shop) : m_shop(shop) {}

    /// Replaces the sheet of that leg (no rows removes it), and with it the job's as-found stack: nominal
    /// diameter where the disc is identified, else the measured one; mean reading, else nominal thickness.
    /// Throws InputError, naming row and rule: no such job or leg, a job that has ended; a size or reading
    /// that no shim has, readings of one row that are of different discs, a part that is no shim or far from
    /// what was measured (a slipped digit or inches are named as such); neither reading nor part; more scrap
    /// than discs, scrap without a reason.
    void set(const StripSheet& sheet);
    [[nodiscard]] std::optional<StripSheet> find(std::string_view job, int leg) const;
    [[nodiscard]] std::vector<StripSheet> ofJob(std::string_view job) const; ///< by leg

private:
    ShopFile& m_shop;
};

} // namespace shimledger::inventory
