// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/inventory_error.h"
#include "inventory/shop_address.h"
#include "inventory/stock_history.h"
#include "inventory/stock_verify.h"
#include "tests/inventory/support.h"

#include <map>
#include <optional>
#include <random>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// What somebody was told about an entry, by the name that it carries as its reason.
enum class Told { booked, notBooked, unknown };

/// A bench on a server: books entries of two lines each, one after the other, and keeps in mind what it was
/// told about each. Opens the shop anew where it could not be opened.
class ServerBench {
public:
    ServerBench(std::filesystem::path address, const std::string& name, std::uint64_t seed)
        : m_address(std::move(address)), m_name(name), m_random(seed) {}

    /// One entry. A bug goes through as std::logic_error.
    void step() {
        const std::string reason = m_name + "-" + std::to_string(m_told.size());
        m_told[reason] = attempt(reason);
    }
    [[nodiscard]] const std::map<std::string, Told>& told() const { return m_told; }
    [[nodiscard]] const std::string& lastFault() const { return m_fault; }
    [[nodiscard]] std::int64_t bookedSince(std::size_t entry) const {
        std::int64_t count = 0;
        for (std::size_t i = entry; i < m_told.size(); ++i)
            count += m_told.at(m_name + "-" + std::to_string(i)) == Told::booked ? 1 : 0;
        return count;
    }

private:
    Told attempt(const std::string& reason) {
        try {
            if (!m_shop) m_shop.emplace(ShopFile::open(m_address));
            StockLedger ledger(*m_shop);
            const bool receives = m_random() % 4 == 0;
            const std::string job = m_random() % 2 == 0 ? "J1" : "J2";
            MovementLine line =
                movement(receives ? MovementKind::receipt : MovementKind::reserve, "S24-10", "A1",
                         1 + static_cast<std::int64_t>(m_random() % 3), receives ? "" : job);
            line.reason = reason;
            MovementLine second = line;
            second.part = "S24-15";
            ledger.post({line, second});
            return Told::booked;
        } catch (const InputError&) {
            return Told::notBooked; // the drawers did not allow it
        } catch (const ShopFileFault& fault) {
            m_fault = fault.what();
            const bool nothing = m_fault.find("nothing was changed") != std::string::npos ||
                                 m_fault.find("there is no connection") != std::string::npos;
            return nothing ? Told::notBooked : Told::unknown;
        }
    }

    std::filesystem::path m_address;
    std::string m_name;
    std::mt19937_64 m_random;
    std::optional<ShopFile> m_shop;
    std::map<std::string, Told> m_told;
    std::string m_fault;
};

/// Sentences about entries that are not as was told, and about what does not add up; empty: all is well.
inline std::vector<std::string> whatWasToldWrongly(const ShopFile& shop,
                                                   const std::map<std::string, Told>& told) {
    std::map<std::string, int> rows;
    StockHistory(shop).forEach([&](const LedgerEntry& entry) { ++rows[entry.reason]; });
    std::vector<std::string> wrong;
    for (const auto& [reason, outcome] : told) {
        const auto found = rows.find(reason);
        const int count = found == rows.end() ? 0 : found->second;
        if (count != 0 && count != 2)
            wrong.push_back("entry " + reason + " has " + std::to_string(count) + " rows, not 2");
        if (outcome == Told::booked && count == 0)
            wrong.push_back("entry " + reason + " was acknowledged and is lost");
        if (outcome == Told::notBooked && count != 0)
            wrong.push_back("entry " + reason + " was told not to be booked, and is there");
    }
    const VerifyReport report = verifyStock(shop);
    for (const std::string& fault : report.faults) wrong.push_back(fault);
    for (const StockDifference& difference : report.differences) wrong.push_back(difference.text());
    return wrong;
}

} // namespace shimledger::inventory
