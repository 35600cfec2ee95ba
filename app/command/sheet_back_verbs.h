// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/command/verbs.h"

#include <string>
#include <vector>

namespace shimledger::command {

/// order from-sheet: an edited reorder sheet.
struct OrderSheetVerb {
    std::string shop_file, in_file, supplier;
    bool preview = false, again = false, json = false;
};

/// stock far-off: lots whose readings are not what their drawer says.
struct FarOffVerb {
    std::string shop_file, tolerance = "normal", limit;
    bool all = false, json = false;
};

int runOrderFromSheet(const OrderSheetVerb& verb, Streams& streams);
int runStockFarOff(const FarOffVerb& verb, Streams& streams);

} // namespace shimledger::command
