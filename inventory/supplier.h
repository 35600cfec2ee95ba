#pragma once

#include "inventory/calendar.h"
#include "inventory/money.h"
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

    bool operator==(const Supplier&) const = default;
};

/// From so many packs at a time on, each pack of the offer costs so much.
struct PriceBreak {
    std::int64_t from_packs = 2; ///< 2 or more
    Hundredths pack_price = 0;   ///< above 0, not dearer than for fewer packs

    bool operator==(const PriceBreak&) const = default;
};

/// A supplier's offer of one part. Several pack sizes of one part are several offers.
struct SupplierPart {
    std::string supplier;
    std::string part;
    std::int64_t pack_size = 1; ///< 1 or more, in the part's unit
    Hundredths pack_price = 0;  ///< of one pack, in the supplier's currency
    std::string supplier_code;
    std::optional<CalendarDate> priced_on;
    std::vector<PriceBreak> breaks{}; ///< rising; addOffer takes them in too

    bool operator==(const SupplierPart&) const = default;
};

/// Who delivers what. The ShopFile must outlive it.
class SupplierList {
public:
    explicit SupplierList(ShopFile& shop) : m_shop(shop) {}

    void add(const Supplier& supplier); ///< throws InputError: name taken, bad currency, negative figure
    [[nodiscard]] std::optional<Supplier> find(std::string_view name) const;
    [[nodiscard]] std::vector<Supplier> list() const; ///< by name

    /// Throws InputError: unknown supplier or part, pack size below 1, or the same pack offered already.
    void addOffer(const SupplierPart& offer);
    /// A price break of an offer that is there; throws InputError when it is no step down from the ones
    /// around it.
    void addPriceBreak(std::string_view supplier, std::string_view part, std::int64_t pack_size,
                       const PriceBreak& step);
    [[nodiscard]] std::vector<SupplierPart> offers() const; ///< by supplier, part, pack size
    [[nodiscard]] std::vector<SupplierPart> offersOfPart(std::string_view part) const;

private:
    ShopFile& m_shop;
};

} // namespace shimledger::inventory
