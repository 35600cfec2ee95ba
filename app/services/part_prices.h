// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/money.h"
#include "inventory/shop_file.h"

#include <map>
#include <string>

namespace shimledger::services {

/// What one piece (mm, ml) is worth: hundredths of the currency, in part.
struct PiecePrice {
    double hundredths = 0;
    std::string currency;
};

/// By part: what was last paid on an order; else the cheapest price of one pack offered. Parts without either
/// are left out.
[[nodiscard]] std::map<std::string, PiecePrice> piecePrices(inventory::ShopFile& shop);

} // namespace shimledger::services
