// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/ledger/line_context.h"

#include <vector>

namespace shimledger::inventory {

/// The rules of the ledger: what a line does to its lots, or why it may not. Looks at the balances as they
/// stand and writes nothing. A move gives two rows (out, in); a
/// count gives a release for each reservation that it leaves too little for, then itself; everything else
/// one. Throws StockRefusal or InputError.
[[nodiscard]] std::vector<MovementRow> effectsOf(ShopConnection& connection, const LineContext& context);

/// The row that undoes an earlier movement. Throws InputError: unknown, undone already, a reversal
/// itself; StockRefusal: the drawers no longer hold what it would take back.
[[nodiscard]] MovementRow effectOfReversal(ShopConnection& connection, std::int64_t movement,
                                           std::string_view reason);

} // namespace shimledger::inventory
