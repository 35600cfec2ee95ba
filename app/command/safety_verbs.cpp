// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/verbs.h"

#include "inventory/shop_backup.h"
#include "inventory/shop_rescue.h"

#include <ostream>

namespace shimledger::command {

int runBackup(const SheetVerb& verb, Streams& streams) {
    const auto shop = inventory::ShopFile::openReadOnly(verb.shop_file);
    inventory::backupShopFile(shop, verb.out_file);
    streams.out << "Wrote " << verb.out_file << '\n';
    return exit_done;
}

int runRestore(const SheetVerb& verb, Streams& streams) {
    const auto replaced = inventory::restoreShopFile(verb.out_file, verb.shop_file);
    streams.out << verb.shop_file << " is now as in " << verb.out_file << '\n';
    if (replaced) streams.out << "What was there before is kept as " << replaced->string() << '\n';
    return exit_done;
}

int runRescue(const SheetVerb& verb, Streams& streams) {
    bool whole = true;
    for (const inventory::RescuedTable& table : inventory::rescueShopFile(verb.shop_file, verb.out_file)) {
        if (table.file.ends_with(".csv")) {
            streams.out << table.file << ": " << table.rows << " lines"
                        << (table.whole() ? "\n" : ", but not all of it:\n");
        } else {
            streams.out << table.file << " is damaged, so rows may be missing that nobody can name:\n";
        }
        for (const std::string& sentence : table.lost) streams.out << "  " << sentence << '\n';
        whole = whole && table.whole();
    }
    streams.out << "Wrote " << verb.out_file
                << (whole ? ": everything could be read.\n"
                          : ": look at what is missing before you import it.\n");
    return whole ? exit_done : exit_fault;
}

} // namespace shimledger::command
