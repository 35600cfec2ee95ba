// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/master_changes.h"
#include "inventory/money.h"
#include "inventory/shop_file.h"

#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// How a class of parts is ordered. Any class without settings of its own has those of the class "", which
/// has these defaults until somebody sets it.
struct ReorderClass {
    std::string part_class;
    int service_per_mille = 950; ///< promised share of jobs served in full from the shelf; 500..999
    int review_days = 7;         ///< how often somebody looks; 0..365
    Hundredths line_cost = 200;  ///< of one more line on an order: unpacking, counting, drawers; above 0
    int holding_percent = 20;    ///< of a piece's price for keeping it a year; 1..100
    int cover_months = 12;       ///< never order for longer than this; 1..120
    int dead_months = 12;        ///< nothing asked for in so long: dead stock; 1..120

    bool operator==(const ReorderClass&) const = default;
};

/// The settings of the shop. The ShopFile must outlive it.
class ReorderClasses {
public:
    explicit ReorderClasses(ShopFile& shop) : m_shop(shop) {}

    /// Throws InputError naming the figure and its range. Keeps what it changes of settings that were there,
    /// which it returns.
    std::vector<MasterChange> set(const ReorderClass& settings);
    [[nodiscard]] ReorderClass of(std::string_view part_class) const;
    [[nodiscard]] std::vector<ReorderClass> list() const; ///< those that were set, by class

private:
    ShopFile& m_shop;
};

} // namespace shimledger::inventory
