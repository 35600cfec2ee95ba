// SPDX-License-Identifier: GPL-3.0-or-later
// The window and the command, two programs on one shop file, both booking.
#include "bench_fixture.h"

#include "inventory/stock_history.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_verify.h"

#include <QProcess>

#include <filesystem>
#include <fstream>

using namespace shimledger;
using namespace shimledger::desk;
using namespace shimledger::desk::testing;

namespace {

/// Runs the real command, as a process of its own.
int verb(const std::vector<std::string>& words) {
    QStringList arguments;
    for (const std::string& word : words) arguments.append(QString::fromStdString(word));
    QProcess process;
    process.start(QStringLiteral(SHIMLEDGER_COMMAND), arguments);
    REQUIRE(process.waitForFinished(60'000));
    INFO(process.readAllStandardError().toStdString());
    return process.exitCode();
}

std::int64_t movementsOf(const std::filesystem::path& shop, const std::string& reason) {
    std::int64_t count = 0;
    inventory::StockHistory(inventory::ShopFile::openReadOnly(shop))
        .forEach([&](const inventory::LedgerEntry& entry) {
            if (entry.reason == reason) ++count;
        });
    return count;
}

} // namespace

TEST_CASE("What the window books beside running verbs is in the file, and so is what they book", "[file]") {
    DemoShopCopy shop;
    const std::filesystem::path path = shop.path().toStdString();
    std::int64_t before = 0;
    {
        const inventory::ShopFile file = inventory::ShopFile::open(path);
        before = inventory::verifyStock(file, inventory::VerifyDepth::ledger).movements;
    }
    std::int64_t reserved = 0;
    {
        TestWindow test;
        REQUIRE(QTest::qWaitForWindowActive(&test.window));
        test.window.openShop(shop.path());
        REQUIRE(settle([&] { return !test.window.busy(); }));
        for (int round = 1; round <= 3; ++round) {
            CHECK(verb({"job", "list", "--db", path.string()}) == 0);
            // As a file dialog does that looks what kind of file it shows.
            std::ifstream(path).get();
            CHECK(verb({"stock", "receive", "--db", path.string(), "--part", "SH-24.0-6-0.10", "--bin", "A01",
                        "--quantity", "1", "--reason", "by the verb"}) == 0);
            CHECK(std::filesystem::exists(path.string() + "-wal"));
            test.window.jobs().pickJob("JOB-1002");
            REQUIRE(settle([&] { return !test.window.busy(); }));
            press(Qt::Key_F5);
            REQUIRE(settle([&] { return !test.window.busy(); }));
            press(Qt::Key_F6);
            REQUIRE(settle([&] { return !test.window.busy(); }));
            const auto held = inventory::StockLedger(test.window.session().shop()).reservationsOf("JOB-1002");
            CHECK_FALSE(held.empty());
            inventory::StockLedger(test.window.session().shop()).releaseAll("JOB-1002", "by the window");
            test.window.session().announceChange();
            reserved += 2 * static_cast<std::int64_t>(held.size());
            REQUIRE(settle([&] { return !test.window.busy(); }));
        }
    }
    CHECK(movementsOf(path, "by the verb") == 3);
    CHECK(movementsOf(path, "by the window") == reserved / 2);
    const inventory::ShopFile file = inventory::ShopFile::open(path);
    const auto report = inventory::verifyStock(file, inventory::VerifyDepth::everything);
    CHECK(report.good());
    CHECK(report.movements == before + 3 + reserved);
}
