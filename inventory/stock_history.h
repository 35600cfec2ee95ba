// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"
#include "inventory/stock_movement.h"

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// What a demand is booked to: the part that left the drawer, or the part that was wanted.
enum class DemandBasis { used, wanted };

/// Pieces of one part that stood in for another one in a job.
struct Substitution {
    CalendarDate day;
    std::string job; ///< empty where the issue named none
    std::string wanted;
    std::string used;
    std::int64_t quantity = 0; ///< pieces of `used`; the wanted ones may have been more or fewer

    bool operator==(const Substitution&) const = default;
};

/// What a part has moved by, and when it first did.
struct FirstMovement {
    std::string part;
    CalendarDate day;

    bool operator==(const FirstMovement&) const = default;
};

/// What a count has taken from a job's reservation of one lot.
struct LostToCount {
    std::string job;
    std::string part;
    std::string bin;
    Condition condition = Condition::fresh;
    std::int64_t quantity = 0;
    CalendarDate day; ///< of the count

    bool operator==(const LostToCount&) const = default;
};

struct DailyDemand {
    CalendarDate day;
    std::string part;
    std::int64_t quantity = 0;

    bool operator==(const DailyDemand&) const = default;
};

/// Reads the ledger. Entries come in the order of posting.
class StockHistory {
public:
    explicit StockHistory(const ShopFile& shop) : m_shop(shop) {}

    /// Unknown codes raise InputError.
    [[nodiscard]] std::vector<LedgerEntry> ofPart(std::string_view part) const;
    [[nodiscard]] std::vector<LedgerEntry> ofBin(std::string_view bin) const;
    [[nodiscard]] std::vector<LedgerEntry> ofJob(std::string_view job) const;
    [[nodiscard]] std::vector<LedgerEntry> ofBatch(std::int64_t batch) const;
    [[nodiscard]] std::optional<LedgerEntry> movement(std::int64_t number) const;
    /// From `from` up to and without `until`.
    [[nodiscard]] std::vector<LedgerEntry> between(UtcTime from, UtcTime until) const;
    /// Hands over the whole ledger, one entry at a time; memory does not grow with it.
    void forEach(const std::function<void(const LedgerEntry&)>& visit) const;

    /// Issues per day and part, by day and part code, from `from` up to and without `until`. Issues that were
    /// undone are left out, wherever the undoing falls; counts, scrap and moves are no demand.
    [[nodiscard]] std::vector<DailyDemand> demand(CalendarDate from, CalendarDate until,
                                                  DemandBasis basis = DemandBasis::wanted) const;
    /// New parts that came back ("return") per day and part: pulled, but not needed.
    [[nodiscard]] std::vector<DailyDemand> freshReturns(CalendarDate from, CalendarDate until) const;
    /// Issues that stood in for another part and were not undone, by day, wanted part, job and used part.
    [[nodiscard]] std::vector<Substitution> substitutions(CalendarDate from, CalendarDate until) const;
    /// Of jobs that have not ended, or of one of them, by job and in the order of posting: what counts have
    /// taken from their reservations since something was last reserved for them or all of it was released. A
    /// count that was undone has taken nothing.
    [[nodiscard]] std::vector<LostToCount> lostToCounts(std::string_view job = {}) const;
    /// By part code; parts that never moved are left out.
    [[nodiscard]] std::vector<FirstMovement> firstMovements() const;

private:
    const ShopFile& m_shop;
};

} // namespace shimledger::inventory
