// SPDX-License-Identifier: GPL-3.0-or-later
// desk_large_shop FOLDER [PARTS] [MOVEMENTS]: the demo shop with its jobs, grown to 20000 more parts and a
// million movements, for measuring the window on it. Writes FOLDER/shop.db.
#include "app/services/shop_demo.h"
#include "inventory/bin.h"
#include "inventory/part_catalogue.h"
#include "inventory/shop_file.h"
#include "inventory/stock_ledger.h"
#include "tests/benchmarks/stock_traffic.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <string>
#include <vector>

namespace {

using namespace shimledger;
using namespace shimledger::inventory;

constexpr int bins = 2000;

std::string partCode(int part) {
    return "OLD-" + std::to_string(part);
}
std::string binCode(int part) {
    return "Z" + std::to_string(part % bins);
}

void addParts(ShopFile& shop, int parts) {
    shop.atomically([&] {
        BinList bin_list(shop);
        for (int bin = 0; bin < bins; ++bin) bin_list.add({binCode(bin), "Z", 10'000 + bin, ""});
        PartCatalogue catalogue(shop);
        for (int part = 0; part < parts; ++part) {
            Part shim;
            shim.code = partCode(part);
            shim.kind = PartKind::shim;
            shim.description = "shim";
            shim.od = Length::fromMicrometres(10'000 + 100 * (part % 400));
            shim.id = Length::fromMicrometres(8'000); // fits no job of the demo, so its answers stay
            shim.thickness = Length::fromMicrometres(50 + 5 * (part / 400));
            catalogue.add(shim);
        }
    });
}

} // namespace

int main(int argc, char** argv) {
    if (argc < 2) {
        std::fputs("Usage: desk_large_shop FOLDER [PARTS] [MOVEMENTS]\n", stderr);
        return 2;
    }
    try {
        const int parts = argc > 2 ? std::max(1, std::atoi(argv[2])) : 20'000;
        const int movements = argc > 3 ? std::atoi(argv[3]) : 1'000'000;
        services::DemoOptions options;
        options.seed_catalog = SHIMLEDGER_SEED_CATALOG;
        const services::DemoShop demo = services::makeDemoShop(argv[1], options);
        ShopFile shop = ShopFile::open(demo.shop_file);
        addParts(shop, parts);
        StockLedger ledger(shop);
        postTraffic(ledger, parts, movements, partCode, binCode);
        std::puts(demo.shop_file.string().c_str());
    } catch (const std::exception& problem) {
        std::fprintf(stderr, "%s\n", problem.what());
        return 1;
    }
    return 0;
}
