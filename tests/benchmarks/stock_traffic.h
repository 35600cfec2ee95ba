// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/stock_ledger.h"

#include <string>
#include <utility>
#include <vector>

namespace shimledger::inventory {

/// Receipts and issues of `parts` parts in turn, so that stock never runs out. `partCode` and `binCode` name
/// a part by its number.
template <typename PartCode, typename BinCode>
void postTraffic(StockLedger& ledger, int parts, int movements, PartCode partCode, BinCode binCode) {
    constexpr int batch = 2000;
    for (int done = 0; done < movements;) {
        std::vector<MovementLine> lines;
        for (; done < movements && static_cast<int>(lines.size()) < batch; ++done) {
            MovementLine line;
            const int part = done % parts;
            line.kind = (done / parts) % 2 == 0 ? MovementKind::receipt : MovementKind::issue;
            line.part = partCode(part);
            line.bin = binCode(part);
            line.quantity = line.kind == MovementKind::receipt ? 20 : 10;
            line.reason = "workshop";
            lines.push_back(std::move(line));
        }
        ledger.post(lines);
    }
}

} // namespace shimledger::inventory
