// SPDX-License-Identifier: GPL-3.0-or-later
#include "own_process.h"
#include "support.h"

#include "inventory/csv_export.h"
#include "inventory/inventory_error.h"
#include "inventory/output_file.h"

#include <catch2/catch.hpp>
#include <sys/resource.h>

#include <csignal>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

void writeText(const OutputTarget& target, const std::string& text,
               const std::function<bool(const std::filesystem::path&)>& is_former = {}) {
    OutputFile file(target, "pick list", is_former);
    file.write([&](std::ostream& out) { out << text; });
    file.commit();
}

std::string refusal(const OutputTarget& target,
                    const std::function<bool(const std::filesystem::path&)>& former = {}) {
    return refusalOf([&] { writeText(target, "new", former); });
}

std::size_t filesIn(const std::filesystem::path& folder) {
    return static_cast<std::size_t>(std::distance(std::filesystem::directory_iterator(folder), {}));
}

} // namespace

TEST_CASE("an output never goes over a shop file, another database or the log of one, whatever is asked for",
          "[file]") {
    SmallShop small;
    const auto shop = small.shop.path();
    const std::string before = readBytes(shop);
    CHECK_THAT(refusal({shop, true}), Contains("is a shop file or another database"));
    for (const char* ending : {"-wal", "-shm", "-journal"})
        CHECK_THAT(refusal({shop.string() + ending, true}), Contains("belongs to a shop file"));
    std::filesystem::create_symlink(shop, small.folder / "link.xlsx");
    CHECK_THAT(refusal({small.folder / "link.xlsx", true}), Contains("is a shop file or another database"));
    CHECK(readBytes(shop) == before);
}

TEST_CASE("an output goes over a former one of its kind, and over anything else only where that was said",
          "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "list.xlsx";
    writeText(path, "first");
    CHECK(readBytes(path) == "first");
    CHECK_THAT(refusal(path),
               Contains(path.string() + " exists already: give the pick list a name that is free"));
    const auto no_former = [](const std::filesystem::path&) { return false; };
    CHECK_THAT(refusal(path, no_former), Contains("is no pick list of this program") && Contains("--force"));
    CHECK(readBytes(path) == "first");
    writeText(path, "second", [](const std::filesystem::path& file) { return readBytes(file) == "first"; });
    CHECK(readBytes(path) == "second");
    writeText({path, true}, "third", no_former);
    CHECK(readBytes(path) == "third");
    CHECK(filesIn(folder / ".") == 1);
}

TEST_CASE("folders, devices and folders that are not there are refused with their reason", "[file]") {
    const TemporaryFolder folder;
    CHECK_THAT(refusal({folder / ".", true}), Contains("is a folder"));
    CHECK_THAT(refusal({"/dev/null", true}), Contains("is no ordinary file"));
    CHECK_THAT(refusal({folder / "no/such/list.xlsx", true}), Contains("there is no folder"));
    CHECK(std::filesystem::is_character_file("/dev/null"));
}

TEST_CASE("what is replaced hands on its mode, and what was begun and not finished leaves nothing",
          "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "list.xlsx";
    writeBytes(path, "old");
    std::filesystem::permissions(path, std::filesystem::perms(0640));
    {
        const OutputFile given_up({path, true}, "pick list");
        given_up.write([](std::ostream& out) { out << "half"; });
    }
    CHECK(readBytes(path) == "old");
    CHECK(filesIn(folder / ".") == 1);
    writeText({path, true}, "new");
    CHECK(readBytes(path) == "new");
    CHECK(static_cast<int>(std::filesystem::status(path).permissions()) == 0640);
}

TEST_CASE("a name that is taken while the output is being written is not taken over", "[file]") {
    const TemporaryFolder folder;
    OutputFile file(folder / "list.csv", "file");
    file.write([](std::ostream& out) { out << "ours"; });
    writeBytes(folder / "list.csv", "theirs");
    CHECK_THAT(refusalOf([&] { file.commit(); }), Contains("exists already"));
    CHECK(readBytes(folder / "list.csv") == "theirs");
}

TEST_CASE("a disk that takes no more is said, and the former output is unharmed", "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "list.csv";
    writeBytes(path, "old");
    CHECK(exitCodeOf(inOwnProcess([&] {
              std::signal(SIGXFSZ, SIG_IGN);
              const rlimit small{4096, 4096};
              ::setrlimit(RLIMIT_FSIZE, &small);
              try {
                  writeText({path, true}, std::string(100'000, 'x'));
              } catch (const FileFault& fault) {
                  return std::string(fault.what()).find("cannot be written") != std::string::npos ? 0 : 1;
              }
              return 2;
          })) == 0);
    CHECK(readBytes(path) == "old");
    CHECK(filesIn(folder / ".") == 1);
}

TEST_CASE("a link to a database that nobody has open is not replaced either, whatever is asked for",
          "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    { const ShopFile shop = ShopFile::create(path); }
    std::filesystem::create_symlink("shop.db", folder / "link.xlsx");
    CHECK_THAT(refusal({folder / "link.xlsx", true}), Contains("is a shop file or another database"));
    CHECK(std::filesystem::is_symlink(folder / "link.xlsx"));
}

TEST_CASE("a folder for several files is new or empty, and none has the name of a shop file's log",
          "[file]") {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    { const ShopFile shop = ShopFile::create(path); }
    for (const char* ending : {"-journal", "-wal", "-shm", "-journal/"})
        CHECK_THAT(refusalOf([&] { makeOutputFolder(path.string() + ending); }),
                   Contains("belongs to a shop file"));
    CHECK_THAT(refusalOf([&] { makeOutputFolder(folder / "none" / "new"); }), Contains("there is no folder"));
    CHECK_THAT(refusalOf([&] { makeOutputFolder(folder / "."); }), Contains("is not an empty folder"));
    CHECK_THAT(refusalOf([&] { makeOutputFolder(path); }), Contains("is not an empty folder"));
    std::filesystem::create_symlink("nowhere", folder / "dangling");
    CHECK_THAT(refusalOf([&] { makeOutputFolder(folder / "dangling"); }), Contains("leads nowhere"));
    makeOutputFolder(folder / "new/");
    CHECK(std::filesystem::is_directory(folder / "new"));
    makeOutputFolder(folder / "new");
}

TEST_CASE("what is exported of a shop can be read by nobody who cannot read the shop", "[file]") {
    SmallShop small;
    using std::filesystem::perms;
    std::filesystem::permissions(small.shop.path(), perms(0600));
    exportShopFolder(small.shop, small.folder / "out");
    for (const auto& file : std::filesystem::directory_iterator(small.folder / "out"))
        CHECK((file.status().permissions() & (perms::group_all | perms::others_all)) == perms::none);
}
