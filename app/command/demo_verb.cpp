// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/verbs.h"

#include "app/services/shop_demo.h"

#include <ostream>

namespace shimledger::command {

int runDemo(const DemoVerb& verb, Streams& streams) {
    services::DemoOptions options;
    options.seed_catalog = verb.catalog;
    options.paper = services::parsePaperSize(verb.paper);
    options.tell = [&](const std::string& line) { streams.out << line << std::endl; };
    const services::DemoShop shop = services::runDemo(verb.folder, options);
    streams.out << "Wrote " << shop.shop_file.string() << "\nWrote " << shop.pick_list.string() << "\nWrote "
                << shop.reorder_sheet.string() << "\nWrote " << shop.untouched.string()
                << " (the same shop before all this, to try it yourself)\n";
    return exit_done;
}

} // namespace shimledger::command
