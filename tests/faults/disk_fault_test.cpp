// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/faults/fault_vfs.h"
#include "tests/faults/worked_shop.h"

#include "inventory/shop_backup.h"

#include <catch2/catch.hpp>

#include <functional>

using namespace shimledger;
using namespace shimledger::faults;
using namespace shimledger::inventory;

namespace {

struct NamedFault {
    const char* name;
    Fault fault;
};
constexpr std::array<NamedFault, 5> every_fault{{{"write error", Fault::writeError},
                                                 {"short write", Fault::shortWrite},
                                                 {"disk full", Fault::diskFull},
                                                 {"sync fails", Fault::syncFails},
                                                 {"read error", Fault::readError}}};

// A sentence for people: whole, about the file, without SQLite's own words for a lock.
void checkSentence(const std::string& sentence) {
    CHECK(sentence.size() > 30);
    CHECK(sentence.find("database is locked") == std::string::npos);
    CHECK(sentence.find("SQL") == std::string::npos);
}

/// Runs the work with the n-th call failing, n = 1, 1 + stride, ... until nothing fails any more. Whatever
/// comes is a ShopFileFault with a sentence; afterwards, with the disk well again, all that was acknowledged
/// is there. Returns how many runs met a fault.
int everyNth(Fault fault, std::int64_t times, int stride,
             const std::function<void(const std::filesystem::path&, std::vector<Acknowledged>&)>& work) {
    const TemporaryFolder folder;
    const auto start = workedShop(folder);
    const auto path = folder / "shop.db";
    int runs = 0;
    for (std::int64_t nth = 1;; nth += stride) {
        freshCopy(start, path);
        std::vector<Acknowledged> acknowledged;
        planFault(fault, nth, times);
        try {
            work(path, acknowledged);
        } catch (const ShopFileFault& said) {
            checkSentence(said.what());
        }
        if (!endPlan()) return runs;
        ++runs;
        INFO("call " << nth << " and " << times - 1 << " more (0 times: all) fail");
        const ShopFile shop = ShopFile::open(path, fixedClock(test_time));
        const auto wrong = whatIsWrong(shop, acknowledged, VerifyDepth::everything);
        CHECK(wrong == std::vector<std::string>{});
        REQUIRE(nth < 5000);
    }
}

void openAndWork(const std::filesystem::path& path, std::vector<Acknowledged>& acknowledged) {
    ShopFile shop = ShopFile::open(path, fixedClock(test_time));
    ShopWork work(shop, 7);
    for (int i = 0; i < 12; ++i) {
        if (const auto done = work.step()) acknowledged.push_back(*done);
    }
}

// Goes on after each fault on the same connection, as the window does.
void workOn(const std::filesystem::path& path, std::vector<Acknowledged>& acknowledged) {
    ShopFile shop = ShopFile::open(path, fixedClock(test_time));
    ShopWork work(shop, 7);
    for (int i = 0; i < 12; ++i) {
        try {
            if (const auto done = work.step()) acknowledged.push_back(*done);
        } catch (const ShopFileFault& said) {
            checkSentence(said.what());
        }
    }
}

} // namespace

namespace {

void failOnceOrForGood(int stride) {
    installFaultVfs();
    for (const NamedFault& fault : every_fault) {
        for (const std::int64_t times : {std::int64_t{1}, std::int64_t{0}}) {
            INFO(fault.name << (times == 0 ? ", for good" : ", once"));
            CHECK(everyNth(fault.fault, times, stride, openAndWork) > 1);
        }
    }
}

void failAndWorkOn(int stride) {
    installFaultVfs();
    for (const NamedFault& fault : every_fault) {
        INFO(fault.name);
        CHECK(everyNth(fault.fault, 1, stride, workOn) > 1);
        CHECK(everyNth(fault.fault, 3, stride, workOn) > 1);
    }
}

} // namespace

// The long form takes every single call; the short one every ninth.
TEST_CASE("a disk that fails at any call, once or for good, gives a sentence and loses nothing", "[.long]") {
    failOnceOrForGood(1);
}
TEST_CASE("a disk that fails at every ninth call, once or for good, gives a sentence and loses nothing") {
    failOnceOrForGood(9);
}
TEST_CASE("after a fault of the disk at any call the same program works on, and loses nothing", "[.long]") {
    failAndWorkOn(1);
}
TEST_CASE("after a fault of the disk at every ninth call the same program works on, and loses nothing") {
    failAndWorkOn(9);
}

TEST_CASE("a backup that the disk does not take leaves no file of its name, and the shop as it was") {
    installFaultVfs();
    for (const NamedFault& fault : every_fault) {
        INFO(fault.name);
        const TemporaryFolder folder;
        const auto start = workedShop(folder);
        const auto copy = folder / "copy.db";
        int failed = 0;
        for (std::int64_t nth = 1;; nth += 5) {
            std::filesystem::remove(copy);
            const ShopFile shop = ShopFile::openReadOnly(start, fixedClock(test_time));
            planFault(fault.fault, nth, 0);
            bool made = false;
            try {
                backupShopFile(shop, copy);
                made = true;
            } catch (const ShopFileFault& said) {
                checkSentence(said.what());
            }
            const bool hit = endPlan();
            CHECK(std::filesystem::exists(copy) == made);
            if (made) CHECK(verifyStock(ShopFile::openReadOnly(copy)).good());
            if (!made) ++failed;
            if (!hit) break;
        }
        CHECK(failed > 0);
        CHECK(verifyStock(ShopFile::openReadOnly(start)).good());
    }
}

TEST_CASE(
    "an older file whose bringing up to date fails at every fifth call is as it was or wholly up to date") {
    installFaultVfs();
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    const auto fixture = std::filesystem::path(SHIMLEDGER_TEST_DATA) / "shop_schema_1.db";
    for (const Fault fault : {Fault::writeError, Fault::diskFull, Fault::syncFails}) {
        int failed = 0;
        for (std::int64_t nth = 1;; nth += 5) {
            freshCopy(fixture, path);
            planFault(fault, nth, 0);
            try {
                static_cast<void>(ShopFile::open(path));
            } catch (const ShopFileFault& said) {
                checkSentence(said.what());
                ++failed;
            }
            if (!endPlan()) break;
            const ShopFile shop = ShopFile::open(path);
            CHECK(verifyStock(shop).good());
            CHECK(verifyStock(shop).movements == 20);
        }
        CHECK(failed > 2);
        std::filesystem::remove_all(folder / "shop-backups");
    }
}
