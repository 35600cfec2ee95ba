// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/csv_export.h"
#include "inventory/csv_guard.h"
#include "inventory/csv_import.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

TEST_CASE("text is stored verbatim, whatever it holds, and comes back through CSV", "[file]") {
    const std::vector<std::string> texts{
        "'); DROP TABLE parts; --",
        "\" OR 1=1 --",
        "?1 :job @x $y",
        "=cmd|' /C calc'!A0",
        "'=1+1",
        "''@SUM(1)",
        "+1+1",
        "-5",
        "\t=1",
        "'quoted'",
        std::string("before\0after", 12),
        " blanks at both ends ",
        "line\r\nbreak\ttab",
        "\xd7\xa2\xd7\x91\xd7\xa8\xd7\x99\xd7\xaa \xf0\x9f\x94\xa7 \xe2\x80\xae",
        std::string(1'000'000, 'x'),
    };
    SmallShop small;
    JobBook jobs(small.shop);
    int number = 0;
    for (const std::string& text : texts) {
        Job job = plainJob(std::string("T").append(std::to_string(++number)));
        job.customer = text;
        job.note = text;
        jobs.add(job);
        CHECK(jobs.get(job.code) == job);
    }
    CHECK(PartCatalogue(small.shop).list().size() == 3);
    exportShopFolder(small.shop, small.folder / "out");
    ShopFile copy = ShopFile::create(small.folder.shop("copy.db"));
    importShopFolder(copy, small.folder / "out");
    CHECK(JobBook(copy).list() == jobs.list());
    CHECK(verifyStock(copy).good());
}

TEST_CASE("no text that begins like a formula is one in a CSV file") {
    SmallShop small;
    Job job = plainJob("F1");
    job.note = "=HYPERLINK(\"x\")";
    job.customer = "@SUM(A1)";
    JobBook(small.shop).add(job);
    exportShopFolder(small.shop, small.folder / "out");
    const std::string written = readBytes(small.folder / "out/jobs.csv");
    CHECK_THAT(written, Contains("\"'=HYPERLINK(\"\"x\"\")\""));
    CHECK_THAT(written, Contains(",'@SUM(A1),"));
    for (const char* harmless : {"", "1", "'1", "-5", "+0.25", "'tis", "a=b"}) {
        INFO(harmless);
        CHECK_FALSE(needsGuard(harmless));
        std::string cell = harmless;
        removeGuard(cell);
        CHECK(cell == harmless);
    }
    for (const char* formula :
         {"=1", "+1+1", "-1-1", "@x", "\tx", "\rx", "\nx", "'=1", "-", "--5", "-1.2.3"}) {
        INFO(formula);
        CHECK(needsGuard(formula));
        std::string cell = std::string("'") + formula;
        removeGuard(cell);
        CHECK(cell == formula);
    }
}

TEST_CASE("codes that look like SQL are codes like any other") {
    SmallShop small;
    const std::string code = "x' OR '1'='1";
    CHECK_FALSE(BinList(small.shop).find(code));
    CHECK_FALSE(PartCatalogue(small.shop).find("' OR 1=1; --"));
    BinList(small.shop).add({code, "C", 1, ""});
    small.receive("S24-10", code, 3);
    CHECK(small.lot("S24-10", code).on_hand == 3);
    CHECK(BinList(small.shop).list().size() == 4);
}

TEST_CASE("a long or strange text is cut and cleaned in a sentence") {
    SmallShop small;
    const std::string sentence = refusalOf(
        [&] { static_cast<void>(BinList(small.shop).get(std::string(5'000, 'y') + "\n\x1b[31m")); });
    CHECK(sentence.size() < 200);
    CHECK_THAT(refusalOf([&] { static_cast<void>(BinList(small.shop).get("a\n\x1b[31mb")); }),
               Contains("'a  [31mb'"));
}

TEST_CASE("a text beyond 4 MiB is refused with a sentence") {
    SmallShop small;
    Job job = plainJob("BIG");
    job.note = std::string(std::size_t{5} << 20U, 'x');
    CHECK_THAT(refusalOf([&] { JobBook(small.shop).add(job); }), Contains("longer than 4 MiB"));
}
