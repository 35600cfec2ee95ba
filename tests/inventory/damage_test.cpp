// SPDX-License-Identifier: GPL-3.0-or-later
// Bytes that change, pages that are gone, a file that is cut: what is told, and what is saved.
#include "rich_shop.h"
#include "support.h"

#include "inventory/csv_export.h"
#include "inventory/inventory_error.h"
#include "inventory/shop_rescue.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <random>
#include <sstream>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

constexpr std::size_t page_bytes = 4096;

/// A shop with a ledger of several hundred pages, in one file.
std::string largeShop(const TemporaryFolder& folder, int batches) {
    {
        ShopFile shop = ShopFile::create(folder / "large.db", fixedClock(test_time));
        fillRichShop(shop);
        addStripAndInspection(shop);
        addOrdering(shop);
        StockLedger ledger(shop);
        shop.atomically([&] {
            for (int i = 0; i < batches; ++i) {
                MovementLine line =
                    movement(MovementKind::receipt, i % 3 == 0 ? "S24-15" : "S24-10", "A1", 1 + i % 7);
                line.reason = "delivery number " + std::to_string(i);
                ledger.post({line, line});
            }
        });
        REQUIRE(verifyStock(shop).good());
    }
    return readBytes(folder / "large.db");
}

std::string ledgerOf(const std::filesystem::path& path) {
    RawDatabase raw(path);
    return raw.value(
        "SELECT group_concat(movement_id || ' ' || batch || ' ' || utc || ' ' || kind || ' ' || part_id || ' "
        "' "
        "|| bin_id || ' ' || condition || ' ' || quantity || ' ' || on_hand_change || ' ' || "
        "reserved_change || ' ' || coalesce(job_id, '') || ' ' || coalesce(order_line_id, '') || ' ' || "
        "coalesce(wanted_part_id, '') || reason) FROM (SELECT * FROM movements ORDER BY movement_id)");
}

std::int64_t movementsIn(const std::vector<RescuedTable>& tables) {
    for (const RescuedTable& table : tables)
        if (table.file == "movements.csv") return table.rows;
    return -1;
}

} // namespace

TEST_CASE("any change of any figure of any movement is found by the checksum of its batch") {
    const TemporaryFolder folder;
    const std::string good = largeShop(folder, 3);
    const auto path = folder / "changed.db";
    const std::vector<std::string> changes{"batch = batch - 1",
                                           "utc = '2026-03-09T14:05:01Z'",
                                           "part_id = 1 + part_id % 2",
                                           "bin_id = 1 + bin_id % 2",
                                           "condition = 1 - condition",
                                           "supplier_id = 1",
                                           "job_id = 1",
                                           "reason = reason || '.'",
                                           "reason = ''",
                                           "order_line_id = 1"};
    for (const std::string& change : changes) {
        INFO(change);
        writeBytes(path, good);
        {
            RawDatabase raw(path);
            const std::string rule =
                raw.value("SELECT sql FROM sqlite_schema WHERE name = 'movements_never_change'");
            REQUIRE(raw.run("DROP TRIGGER movements_never_change; UPDATE movements SET " + change +
                            " WHERE movement_id = (SELECT max(movement_id) FROM movements); " + rule)
                        .empty());
        }
        const VerifyReport report = verifyStock(ShopFile::openReadOnly(path));
        std::string all;
        for (const std::string& fault : report.faults) all += fault + "\n";
        CHECK_THAT(all, Contains("not as they were posted: their checksum differs") ||
                            Contains("have no checksum: this program did not post them"));
    }
}

TEST_CASE("one byte changed anywhere never changes the ledger, nor makes a row unreadable, with verify "
          "saying it is good") {
    const TemporaryFolder folder;
    const std::string good = largeShop(folder, 40);
    writeBytes(folder / "good.db", good);
    const std::string ledger = ledgerOf(folder / "good.db");
    // SHIMLEDGER_FLIPS of them, from SHIMLEDGER_SEED: DEVELOPERS.md has the long form.
    const char* flips = std::getenv("SHIMLEDGER_FLIPS");
    const char* seed = std::getenv("SHIMLEDGER_SEED");
    std::mt19937_64 random(seed ? std::stoul(seed) : 20261129);
    int refused = 0;
    int found = 0;
    int vouched = 0;
    const int rounds = flips ? std::stoi(flips) : 150;
    for (int round = 0; round < rounds; ++round) {
        std::string bytes = good;
        const std::size_t at = random() % bytes.size();
        bytes[at] = static_cast<char>(bytes[at] ^ static_cast<char>(1U + random() % 255U));
        INFO("byte " << at << " of page " << at / page_bytes + 1);
        const auto path = folder / "flipped.db";
        writeBytes(path, bytes);
        try {
            ShopFile shop = ShopFile::openReadOnly(path);
            if (!verifyStock(shop).good()) {
                ++found;
                continue;
            }
            ++vouched;
            CHECK(ledgerOf(path) == ledger);
            std::ostringstream rows;
            std::filesystem::remove_all(folder / "out");
            CHECK_NOTHROW(exportShopFolder(shop, folder / "out"));
        } catch (const ShopFileFault&) {
            ++refused;
        } catch (const InputError&) {
            ++refused;
        }
    }
    CHECK(refused > 0);
    CHECK(found > 0);
    CHECK(vouched > 0);
}

TEST_CASE("one movement that cannot be read costs that one movement, and is named") {
    const TemporaryFolder folder;
    const std::string good = largeShop(folder, 400);
    const auto path = folder / "damaged.db";
    std::string bytes = good;
    // A moment with a letter in it: no check of the schema knows it.
    const std::size_t at = bytes.find("2026-03-09T14:05:00Z", bytes.size() / 2);
    REQUIRE(at != std::string::npos);
    bytes[at] = 'x';
    writeBytes(path, bytes);
    const auto tables = rescueShopFile(path, folder / "saved");
    std::filesystem::remove_all(folder / "all");
    writeBytes(path, good);
    const std::int64_t all = movementsIn(rescueShopFile(path, folder / "all"));
    CHECK(movementsIn(tables) >= all - 1);
    std::string lost;
    for (const RescuedTable& table : tables)
        for (const std::string& sentence : table.lost) lost += sentence + "\n";
    CHECK_THAT(lost, Contains("is no moment") || Contains("utc"));
}

TEST_CASE("each page destroyed in turn costs what lies on that page, not what comes after it") {
    const TemporaryFolder folder;
    const std::string good = largeShop(folder, 600);
    const auto path = folder / "damaged.db";
    writeBytes(path, good);
    const std::int64_t all = movementsIn(rescueShopFile(path, folder / "all"));
    REQUIRE(all > 1200);
    std::int64_t worst = 0;
    int nothing_left = 0;
    const std::size_t pages = good.size() / page_bytes;
    for (std::size_t page = 1; page < pages;
         page += 9) { // page 1 holds the schema: without it there is nothing to go by
        std::string bytes = good;
        std::fill_n(bytes.begin() + static_cast<std::ptrdiff_t>(page * page_bytes), page_bytes, '\xA5');
        INFO("page " << page + 1);
        writeBytes(path, bytes);
        std::filesystem::remove_all(folder / "saved");
        try {
            worst = std::max(worst, all - movementsIn(rescueShopFile(path, folder / "saved")));
        } catch (const ShopFileFault&) {
            ++nothing_left;
        }
    }
    // The root page of the ledger is the way to all of it; any other page holds some fifty movements.
    CHECK(nothing_left <= 1);
    INFO("worst: " << worst << " of " << all);
    CHECK((worst <= 100 || worst == all));
}

TEST_CASE("a file that was cut costs what was cut off") {
    const TemporaryFolder folder;
    const std::string good = largeShop(folder, 600);
    const auto path = folder / "damaged.db";
    writeBytes(path, good);
    const std::int64_t all = movementsIn(rescueShopFile(path, folder / "all"));
    for (const double share : {0.004, 0.05}) {
        INFO("cut by " << share);
        writeBytes(path,
                   good.substr(0, static_cast<std::size_t>(static_cast<double>(good.size()) * (1 - share))));
        std::filesystem::remove_all(folder / "saved");
        const std::int64_t saved = movementsIn(rescueShopFile(path, folder / "saved"));
        CHECK(static_cast<double>(all - saved) <= static_cast<double>(all) * 2 * share + 100);
    }
}

TEST_CASE("a wrong byte in the first hundred of the file costs nothing, wherever it is") {
    const TemporaryFolder folder;
    const std::string good = largeShop(folder, 100);
    const auto path = folder / "damaged.db";
    writeBytes(path, good);
    const std::int64_t all = movementsIn(rescueShopFile(path, folder / "all"));
    for (std::size_t at = 0; at < 100; ++at) {
        std::string bytes = good;
        bytes[at] = static_cast<char>(bytes[at] ^ (at % 2 == 0 ? 1U << (at / 2 % 8) : 0xffU));
        INFO("byte " << at);
        writeBytes(path, bytes);
        std::filesystem::remove_all(folder / "saved");
        CHECK(movementsIn(rescueShopFile(path, folder / "saved")) == all);
        for (const auto& entry : std::filesystem::directory_iterator(folder / "saved"))
            CHECK(entry.path().extension() == ".csv"); // no copy of the shop is left
    }
}

TEST_CASE("a database of another program and a text are no shop to rescue") {
    const TemporaryFolder folder;
    const auto path = folder / "other.db";
    {
        RawDatabase other(path);
        REQUIRE(other.run("CREATE TABLE songs (title TEXT); INSERT INTO songs VALUES ('x')").empty());
    }
    CHECK_THAT(refusalOf([&] { static_cast<void>(rescueShopFile(path, folder / "saved")); }),
               Contains("a database of another program"));
    writeBytes(path, std::string(5000, 'a'));
    CHECK_THAT(refusalOf([&] { static_cast<void>(rescueShopFile(path, folder / "saved")); }),
               Contains("is no shop file"));
}

TEST_CASE("rows that go without any error are not told to have been saved") {
    const TemporaryFolder folder;
    const std::string good = largeShop(folder, 400);
    const auto path = folder / "damaged.db";
    const auto lost = [&](const std::string& bytes) {
        writeBytes(path, bytes);
        std::filesystem::remove_all(folder / "saved");
        std::string sentences;
        for (const RescuedTable& table : rescueShopFile(path, folder / "saved"))
            for (const std::string& sentence : table.lost) sentences += sentence + "\n";
        return sentences;
    };
    CHECK(lost(good).empty());
    // A leaf of a table (13) says in bytes 3 and 4 of its page how many rows it holds.
    int tried = 0;
    for (std::size_t page = 1; page < good.size() / page_bytes && tried < 12; ++page) {
        const std::size_t at = page * page_bytes;
        const auto rows = static_cast<unsigned char>(good[at + 4]);
        if (good[at] != 13 || good[at + 3] != 0 || rows < 20) continue;
        std::string bytes = good;
        bytes[at + 4] = static_cast<char>(rows - 3);
        INFO("page " << page + 1);
        CHECK_FALSE(lost(bytes).empty());
        ++tried;
    }
    CHECK(tried >= 5);
}
