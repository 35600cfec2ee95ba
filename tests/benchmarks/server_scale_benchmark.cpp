// SPDX-License-Identifier: GPL-3.0-or-later
// server_scale_benchmark [MOVEMENTS] [PARTS]: a shop of many years posted into a file by its rules, moved to
// a server, and looked at there and in the file: find, history, verify. By default 1000000 and 20000. Runs
// inside of tests/server/throw-away-server.
#include "tests/benchmarks/stock_traffic.h"
#include "tests/inventory/support.h"

#include "inventory/shop_move.h"
#include "inventory/shop_server.h"
#include "inventory/stock_history.h"
#include "inventory/stock_verify.h"

#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <vector>

using namespace shimledger;
using namespace shimledger::inventory;

namespace {

constexpr int bins = 2000;

double secondsOf(const std::function<void()>& work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

std::string partCode(int part) {
    return "P" + std::to_string(part);
}
std::string binCode(int part) {
    return "B" + std::to_string(part % bins);
}
Length odOf(int part) {
    return Length::fromMicrometres(10'000 + 100 * (part % 400));
}
Length thicknessOf(int part) {
    return Length::fromMicrometres(50 + 5 * (part / 400));
}

void addCatalogue(ShopFile& shop, int parts) {
    shop.atomically([&] {
        BinList bin_list(shop);
        for (int bin = 0; bin < bins; ++bin) bin_list.add({binCode(bin), "C", bin, ""});
        PartCatalogue catalogue(shop);
        for (int part = 0; part < parts; ++part) {
            Part shim;
            shim.code = partCode(part);
            shim.kind = PartKind::shim;
            shim.description = "shim";
            shim.od = odOf(part);
            shim.id = Length::fromMicrometres(6'000);
            shim.thickness = thicknessOf(part);
            catalogue.add(shim);
        }
    });
}

double medianOf(int rounds, const std::function<void(int)>& work) {
    std::vector<double> times;
    for (int round = 0; round < rounds; ++round) times.push_back(secondsOf([&] { work(round); }));
    std::nth_element(times.begin(), times.begin() + rounds / 2, times.end());
    return times[static_cast<std::size_t>(rounds / 2)];
}

void look(const char* where, ShopFile& shop, int parts) {
    const PartCatalogue catalogue(shop);
    constexpr int finds = 200, looks = 20;
    const double find = medianOf(15, [&](int round) {
        for (int i = 0; i < finds; ++i) {
            const int part = (i * 97 + round) % parts;
            const auto found =
                catalogue.findShim(odOf(part), Length::fromMicrometres(6'000), thicknessOf(part));
            if (!found || found->code != partCode(part)) std::abort();
        }
    });
    const StockHistory history(shop);
    std::size_t rows = 0;
    const double read = medianOf(15, [&](int round) {
        for (int i = 0; i < looks; ++i) rows += history.ofPart(partCode((i * 313 + round) % parts)).size();
    });
    VerifyReport report;
    const double verify = secondsOf([&] { report = verifyStock(shop, VerifyDepth::everything); });
    if (!report.good()) {
        std::printf("NOT true: %s\n", report.faults.empty() ? "" : report.faults.front().c_str());
        std::exit(1);
    }
    std::printf(
        "%-10s find 200 sizes %8.1f ms   history of 20 parts %8.1f ms (%zu rows each)   verify %7.1f s\n",
        where, 1e3 * find, 1e3 * read, rows / (15 * looks), verify);
    std::fflush(stdout);
}

} // namespace

int main(int count, char** arguments) {
    const int movements = count > 1 ? std::atoi(arguments[1]) : 1'000'000;
    const int parts = count > 2 ? std::atoi(arguments[2]) : 20'000;
    if (!TestServer().wanted() || movements < 1 || parts < 1) {
        std::fprintf(stderr, "run it inside of tests/server/throw-away-server\n");
        return 2;
    }
    const TemporaryFolder folder;
    TestServer server;
    const std::string address = server.freshDatabase();
    const double post = secondsOf([&] {
        ShopFile shop = ShopFile::create(folder / "shop.db");
        addCatalogue(shop, parts);
        StockLedger ledger(shop);
        postTraffic(ledger, parts, movements, partCode, binCode);
    });
    std::printf("%d movements of %d parts posted into a file in %.0f s\n", movements, parts, post);
    std::fflush(stdout);
    prepareServer(address);
    ShopMove move;
    const double moving = secondsOf([&] { move = moveShop(folder / "shop.db", address); });
    std::printf("moved to the server, proved before and after, compared row by row: %.0f s\n", moving);
    std::fflush(stdout);
    ShopFile here = ShopFile::open(move.kept);
    look("in a file", here, parts);
    ShopFile there = ShopFile::open(address);
    look("server", there, parts);
    rusage used{};
    ::getrusage(RUSAGE_SELF, &used);
    std::printf("most memory of this program: %ld MiB\n", used.ru_maxrss / 1024);
    return 0;
}
