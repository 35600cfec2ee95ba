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
        addOwnData(shop);
        addFlow(shop);
        addTries(shop);
        addFurtherValve(shop);
        addRecipes(shop);
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

/// How many rows of each file, by its name.
std::map<std::string, std::int64_t> rowsOf(const std::vector<RescuedTable>& tables) {
    std::map<std::string, std::int64_t> rows;
    for (const RescuedTable& table : tables)
        if (table.file.ends_with(".csv")) rows[table.file] = table.rows;
    return rows;
}

/// A large shop whose bytes are changed, and what rescue then makes of it.
struct DamagedShop {
    explicit DamagedShop(int batches) : good(largeShop(folder, batches)), all(movementsIn(rescued(good))) {}

    std::vector<RescuedTable> rescued(const std::string& bytes) const {
        writeBytes(path, bytes);
        std::filesystem::remove_all(saved);
        return rescueShopFile(path, saved);
    }

    TemporaryFolder folder;
    std::filesystem::path path = folder / "damaged.db", saved = folder / "saved";
    std::string good;
    std::int64_t all; ///< movements, where nothing is damaged
};

/// One with SHIMLEDGER_ALL_ROUNDS set; else every third.
std::size_t everyByte() {
    return std::getenv("SHIMLEDGER_ALL_ROUNDS") != nullptr ? 1 : 3;
}

} // namespace

TEST_CASE("any change of any figure of any movement is found by the checksum of its batch", "[file]") {
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
          "saying it is good",
          "[file]") {
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

TEST_CASE("one movement that cannot be read costs that one movement, and is named", "[file]") {
    const DamagedShop shop(400);
    std::string bytes = shop.good;
    // A moment with a letter in it: no check of the schema knows it.
    const std::size_t at = bytes.find("2026-03-09T14:05:00Z", bytes.size() / 2);
    REQUIRE(at != std::string::npos);
    bytes[at] = 'x';
    const auto tables = shop.rescued(bytes);
    CHECK(movementsIn(tables) >= shop.all - 1);
    std::string lost;
    for (const RescuedTable& table : tables)
        for (const std::string& sentence : table.lost) lost += sentence + "\n";
    CHECK_THAT(lost, Contains("is no moment") || Contains("utc"));
}

TEST_CASE("each page destroyed in turn costs what lies on that page, not what comes after it", "[file]") {
    const DamagedShop shop(600);
    REQUIRE(shop.all > 1200);
    std::int64_t worst = 0;
    int nothing_left = 0;
    const std::size_t pages = shop.good.size() / page_bytes;
    for (std::size_t page = 1; page < pages;
         page += 9) { // page 1 holds the schema: without it there is nothing to go by
        std::string bytes = shop.good;
        std::fill_n(bytes.begin() + static_cast<std::ptrdiff_t>(page * page_bytes), page_bytes, '\xA5');
        INFO("page " << page + 1);
        try {
            worst = std::max(worst, shop.all - movementsIn(shop.rescued(bytes)));
        } catch (const ShopFileFault&) {
            ++nothing_left;
        }
    }
    // The root page of the ledger is the way to all of it; any other page holds some fifty movements.
    CHECK(nothing_left <= 1);
    INFO("worst: " << worst << " of " << shop.all);
    CHECK((worst <= 100 || worst == shop.all));
}

TEST_CASE("a file that was cut costs what was cut off", "[file]") {
    const DamagedShop shop(600);
    for (const double share : {0.004, 0.05}) {
        INFO("cut by " << share);
        const auto kept = static_cast<std::size_t>(static_cast<double>(shop.good.size()) * (1 - share));
        const std::int64_t saved = movementsIn(shop.rescued(shop.good.substr(0, kept)));
        CHECK(static_cast<double>(shop.all - saved) <= static_cast<double>(shop.all) * 2 * share + 100);
    }
}

TEST_CASE("a wrong byte in the first hundred of the file costs nothing, wherever it is", "[file]") {
    const DamagedShop shop(100);
    const auto all = rowsOf(shop.rescued(shop.good));
    for (std::size_t at = 0; at < 100; at += everyByte()) {
        std::string bytes = shop.good;
        bytes[at] = static_cast<char>(bytes[at] ^ (at % 2 == 0 ? 1U << (at / 2 % 8) : 0xffU));
        INFO("byte " << at);
        CHECK(rowsOf(shop.rescued(bytes)) == all);
        for (const auto& entry : std::filesystem::directory_iterator(shop.saved))
            CHECK(entry.path().extension() == ".csv"); // no copy of the shop is left
    }
}

TEST_CASE("the same where a program came to a sudden end and left a log with the newest movements",
          "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db", copy = folder / "damaged.db";
    ShopFile shop = ShopFile::create(path, fixedClock(test_time));
    fillRichShop(shop);
    addOwnData(shop);
    StockLedger ledger(shop);
    shop.atomically([&] { // so many that the file grows, and the log holds a first page of its own
        for (int i = 0; i < 200; ++i) ledger.post({movement(MovementKind::receipt, "S24-10", "A1", 1)});
    });
    // As the file and its log lie on the disk while they are open.
    const std::string good = readBytes(path), log = readBytes(path.string() + "-wal");
    REQUIRE(!log.empty());
    const auto rescued = [&](const std::string& bytes) {
        writeBytes(copy, bytes);
        writeBytes(copy.string() + "-wal", log);
        std::filesystem::remove(copy.string() + "-shm");
        std::filesystem::remove_all(folder / "saved");
        return rowsOf(rescueShopFile(copy, folder / "saved"));
    };
    const auto all = rescued(good);
    REQUIRE(all.at("movements.csv") ==
            verifyStock(shop).movements - 1); // one move, two rows of the ledger, is one line
    for (std::size_t at = 0; at < 100; at += everyByte()) {
        INFO("byte " << at);
        std::string bytes = good;
        bytes[at] = static_cast<char>(bytes[at] ^ (at % 2 == 0 ? 0xffU : 1U));
        CHECK(rescued(bytes) == all);
    }
}

TEST_CASE("a database of another program and a text are no shop to rescue", "[file]") {
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

TEST_CASE("rows that go without any error are not told to have been saved", "[file]") {
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
