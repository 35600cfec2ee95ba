#pragma once

#include "inventory/shop_file.h"
#include "inventory/stock_movement.h"

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// What a demand is booked to: the part that left the drawer, or the part that was wanted.
enum class DemandBasis { used, wanted };

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
    /// From `from` up to and without `until`.
    [[nodiscard]] std::vector<LedgerEntry> between(UtcTime from, UtcTime until) const;
    /// Hands over the whole ledger, one entry at a time; memory does not grow with it.
    void forEach(const std::function<void(const LedgerEntry&)>& visit) const;

    /// Issues per day and part, by day and part code, from `from` up to and without `until`. Issues that were
    /// undone are left out, wherever the undoing falls; counts, scrap and moves are no demand.
    [[nodiscard]] std::vector<DailyDemand> demand(CalendarDate from, CalendarDate until,
                                                  DemandBasis basis = DemandBasis::wanted) const;

private:
    const ShopFile& m_shop;
};

} // namespace shimledger::inventory
