// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/master_changes.h"
#include "inventory/money.h"
#include "inventory/paid_prices.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"
#include "inventory/supplier.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace shimledger::services {

/// What stands behind an amount. `used`: a piece that came out of a component, which nobody has bought.
enum class PriceSource { paid, offered, used, unknown };
[[nodiscard]] std::string_view priceSourceName(PriceSource source); ///< "paid", "offered", "used", "unknown"

/// What a part cost at some moment: so much for a pack of so many.
struct PartPrice {
    PriceSource source = PriceSource::unknown;
    inventory::Hundredths pack_price = 0;
    std::int64_t pack_size = 1;
    std::string currency;
    std::string supplier;
    std::optional<inventory::CalendarDate> day; ///< of the delivery, or of the offer's price

    [[nodiscard]] bool known() const { return source == PriceSource::paid || source == PriceSource::offered; }
    /// To the nearest hundredth, halves up; 0 where no price is known.
    [[nodiscard]] inventory::Hundredths of(std::int64_t quantity) const;
    /// "4.10 EUR for 10, paid to Discs on 2026-03-02"; "used", "no price known".
    [[nodiscard]] std::string text() const;

    bool operator==(const PartPrice&) const = default;
};

/// Prices as they stood at any moment: nothing that is bought, offered or changed later alters them.
class PriceBook {
public:
    explicit PriceBook(inventory::ShopFile& shop); ///< reads all prices of the shop

    /// The last price paid up to the moment; where the part never came by an order until then, the offer
    /// dated last, as it stood at that moment; of offers dated alike the least for a piece. Used pieces have
    /// none.
    [[nodiscard]] PartPrice at(const std::string& part, inventory::Condition condition,
                               inventory::UtcTime moment) const;

    /// How amounts are made, in sentences for whoever reads them.
    [[nodiscard]] static const std::vector<std::string>& method();

private:
    [[nodiscard]] std::optional<PartPrice> offered(const std::string& part, inventory::UtcTime moment) const;

    std::map<std::string, std::vector<inventory::PaidPrice>> m_paid;       ///< by part
    std::map<std::string, std::vector<inventory::SupplierPart>> m_offers;  ///< by part, retired ones too
    std::map<std::string, std::string> m_currencies;                       ///< by supplier
    std::map<std::string, std::vector<inventory::MasterChange>> m_changes; ///< of offers, by part
};

/// Sums by currency, in the order of the currencies' codes.
using Money = std::map<std::string, inventory::Hundredths>;
/// "12.30 EUR + 4.00 USD"; "0" where there is none.
[[nodiscard]] std::string moneySumText(const Money& sums);

} // namespace shimledger::services
