// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/master_changes.h"
#include "inventory/retired.h"
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
    bool retired = false; ///< nothing is put into it any more; what lies there can be counted and taken out

    bool operator==(const Bin&) const = default;
};

/// The codes of a series: "A01..A52" is A01, A02 ... A52, a code without ".." itself. Throws InputError where
/// the two ends are not alike but for the number they end in, or are more than 1000 apart.
[[nodiscard]] std::vector<std::string> binSeries(std::string_view text);

/// The code after this one: A02 after A01, B10 after B9. Throws InputError where it ends in no number.
[[nodiscard]] std::string nextBinCode(std::string_view code);

/// The drawers of the shop. The ShopFile must outlive it.
class BinList {
public:
    explicit BinList(ShopFile& shop) : m_shop(shop) {}

    /// Throws InputError when the code is taken or malformed or the walking order is negative.
    void add(const Bin& bin);
    /// Changes all but the code and keeps what it changed, which it returns (nothing: it was so already).
    /// Throws InputError when the code is unknown, or, with `seen`, when somebody else has changed the bin
    /// since it looked like that.
    std::vector<MasterChange> update(const Bin& bin, const std::optional<Bin>& seen = {});
    /// Throw InputError when it is unknown or is so already.
    MasterChange retire(std::string_view code) { return setRetired(code, true); }
    MasterChange bringBack(std::string_view code) { return setRetired(code, false); }
    [[nodiscard]] std::optional<Bin> find(std::string_view code) const;
    [[nodiscard]] Bin get(std::string_view code) const; ///< throws InputError when unknown
    [[nodiscard]] std::vector<Bin> list(Retired retired = Retired::leftOut) const; ///< in walking order

private:
    MasterChange setRetired(std::string_view code, bool retired);

    ShopFile& m_shop;
};

} // namespace shimledger::inventory
