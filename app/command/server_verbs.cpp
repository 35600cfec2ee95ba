// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/verbs.h"

#include "inventory/shop_move.h"
#include "inventory/shop_server.h"

#include <nlohmann/json.hpp>

#include <ostream>

namespace shimledger::command {

int runServerPrepare(const ServerVerb& verb, Streams& streams) {
    for (const std::string& sentence : inventory::prepareServer(verb.to, verb.from))
        streams.out << verb.to << ": " << sentence << '\n';
    return exit_done;
}

int runMove(const ServerVerb& verb, Streams& streams) {
    const inventory::ShopMove move = inventory::moveShop(verb.from, verb.to);
    if (verb.json) {
        nlohmann::json tables = nlohmann::json::object();
        for (const inventory::MovedTable& table : move.tables) tables[table.name] = table.rows;
        const nlohmann::json root = {{"to", verb.to},
                                     {"movements", move.movements},
                                     {"checksum", move.checksum},
                                     {"tables", tables},
                                     {"kept", move.kept.string()}};
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    if (move.was_broken_off)
        streams.out << "An earlier move was broken off after the shop had arrived; it is ended now.\n";
    std::int64_t rows = 0;
    for (const inventory::MovedTable& table : move.tables) rows += table.rows;
    streams.out << verb.from << " has moved to " << verb.to << ": " << rows << " rows in "
                << move.tables.size() << " tables, " << move.movements
                << " movements; compared row by row, and every balance proved from the movements\n";
    if (!move.kept.empty()) streams.out << "The old file is kept as " << move.kept.string() << '\n';
    return exit_done;
}

} // namespace shimledger::command
