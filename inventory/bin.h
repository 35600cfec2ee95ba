#pragma once

#include "inventory/shop_file.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// A drawer compartment.
struct Bin {
    std::string code; ///< unique; same rules as a part code
    std::string cabinet;
    std::int64_t walking_order = 0; ///< 0 or more; smaller comes first on a pick list; ties by code
    std::string note;

    bool operator==(const Bin&) const = default;
};

/// The drawers of the shop. The ShopFile must outlive it.
class BinList {
public:
    explicit BinList(ShopFile& shop) : m_shop(shop) {}

    /// Throws InputError when the code is taken or malformed or the walking order is negative.
    void add(const Bin& bin);
    /// Changes cabinet, walking order and note; throws InputError when the code is unknown.
    void update(const Bin& bin);
    [[nodiscard]] std::optional<Bin> find(std::string_view code) const;
    [[nodiscard]] Bin get(std::string_view code) const; ///< throws InputError when unknown
    [[nodiscard]] std::vector<Bin> list() const;        ///< in walking order

private:
    ShopFile& m_shop;
};

} // namespace shimledger::inventory
