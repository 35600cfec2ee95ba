// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/master_changes.h"
#include "inventory/money.h"
#include "inventory/retired.h"
#include "inventory/shop_file.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

struct Supplier {
    std::string name; ///< unique; same rules as a part code
    int lead_time_days = 0;
    std::string currency;                     ///< ISO 4217, of all its prices
    std::optional<int> lead_time_spread_days; ///< standard deviation of the lead time
    std::optional<Hundredths> minimum_order;
    std::optional<Hundredths> freight;
    std::string note;
    bool retired = false; ///< nothing more is ordered from it

    bool operator==(const Supplier&) const = default;
};

/// From so many packs at a time on, each pack of the offer costs so much.
struct PriceBreak {
    std::int64_t from_packs = 2; ///< 2 or more
    Hundredths pack_price = 0;   ///< above 0, not dearer than for fewer packs

    bool operator==(const PriceBreak&) const = default;
};

/// Reads "5=3.80": from 5 packs on, each costs 3.80. Throws InputError.
[[nodiscard]] PriceBreak parsePriceBreak(std::string_view text);

/// A supplier's offer of one part. Several pack sizes of one part are several offers.
struct SupplierPart {
    std::string supplier;
    std::string part;
    std::int64_t pack_size = 1; ///< 1 or more, in the part's unit
    Hundredths pack_price = 0;  ///< of one pack, in the supplier's currency
    std::string supplier_code;
    std::optional<CalendarDate> priced_on;
    std::vector<PriceBreak> breaks{}; ///< rising; addOffer takes them in too
    bool retired = false;             ///< it holds no more

    bool operator==(const SupplierPart&) const = default;
};

/// Who delivers what. The ShopFile must outlive it.
class SupplierList {
public:
    explicit SupplierList(ShopFile& shop) : m_shop(shop) {}

    void add(const Supplier& supplier); ///< throws InputError: name taken, bad currency, negative figure
    /// Changes all but the name and keeps what it changed, which it returns (nothing: it was so already). The
    /// currency stays once there are prices in it. Throws InputError when the name is unknown, or, with
    /// `seen`, when somebody else has changed the supplier since it looked like that.
    std::vector<MasterChange> update(const Supplier& supplier, const std::optional<Supplier>& seen = {});
    /// Throw InputError when it is unknown or is so already.
    MasterChange retire(std::string_view name) { return setRetired(name, true); }
    MasterChange bringBack(std::string_view name) { return setRetired(name, false); }
    [[nodiscard]] std::optional<Supplier> find(std::string_view name) const;
    [[nodiscard]] Supplier get(std::string_view name) const; ///< throws InputError when unknown
    [[nodiscard]] std::vector<Supplier> list(Retired retired = Retired::leftOut) const; ///< by name

    /// Throws InputError: unknown or retired supplier or part, pack size below 1, or the same pack offered
    /// already.
    void addOffer(const SupplierPart& offer);
    /// Changes price, breaks and the rest of an offer and keeps what it changed; else as update().
    std::vector<MasterChange> updateOffer(const SupplierPart& offer,
                                          const std::optional<SupplierPart>& seen = {});
    /// A price break of an offer that is being made, as updateOffer() keeps what it changes; throws
    /// InputError when it is no step down from the ones around it.
    void addPriceBreak(std::string_view supplier, std::string_view part, std::int64_t pack_size,
                       const PriceBreak& step);
    /// Throw InputError when there is no such offer or it is so already.
    MasterChange retireOffer(std::string_view supplier, std::string_view part, std::int64_t pack_size) {
        return setOfferRetired(supplier, part, pack_size, true);
    }
    MasterChange bringOfferBack(std::string_view supplier, std::string_view part, std::int64_t pack_size) {
        return setOfferRetired(supplier, part, pack_size, false);
    }
    /// By supplier, part, pack size. An offer is left out with its supplier or its part, too.
    [[nodiscard]] std::vector<SupplierPart> offers(Retired retired = Retired::leftOut) const;
    [[nodiscard]] std::vector<SupplierPart> offersOfPart(std::string_view part,
                                                         Retired retired = Retired::leftOut) const;
    /// Retired or not; throws InputError when supplier or part are unknown or there is no such offer.
    [[nodiscard]] SupplierPart getOffer(std::string_view supplier, std::string_view part,
                                        std::int64_t pack_size) const;

private:
    MasterChange setRetired(std::string_view name, bool retired);
    MasterChange setOfferRetired(std::string_view supplier, std::string_view part, std::int64_t pack_size,
                                 bool retired);

    ShopFile& m_shop;
};

} // namespace shimledger::inventory
