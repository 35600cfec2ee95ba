// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/receive_order.h"
#include "app/services/stock_flow.h"

#include <ostream>

namespace shimledger::command {

int runReceive(const FlowVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBePart(shop, verb.part);
    for (const std::string& sentence : services::receivePieces(shop, pieceOf(verb)).sentences)
        streams.out << sentence << '\n';
    return exit_done;
}

int runExpected(const FlowVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeOrder(shop, verb.order);
    const auto lines = services::expectedLines(shop, verb.order);
    for (const services::ExpectedLine& line : lines) {
        streams.out << line.order << ", line " << line.order_line << ": " << line.expected() << " of "
                    << line.ordered << " of " << line.part << " (" << line.what << ") from " << line.supplier
                    << (line.bin.empty() ? "" : ", lies in " + line.bin) << '\n';
    }
    if (lines.empty()) streams.out << "Nothing is expected.\n";
    return exit_done;
}

} // namespace shimledger::command
