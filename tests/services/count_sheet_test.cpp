// SPDX-License-Identifier: GPL-3.0-or-later
#include "small_shop.h"

#include "app/services/bin_labels.h"
#include "app/services/count_sheet.h"
#include "app/services/pick_list.h"
#include "app/services/sheets/count_sheet_sheet.h"
#include "app/services/short_jobs.h"
#include "app/services/stock_flow.h"
#include "inventory/inventory_error.h"
#include "inventory/stock_history.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

#include <sstream>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

std::vector<CountLine> readBack(const std::string& text) {
    return countLinesOf({readDelimitedText(text)}, "count.csv");
}

CountLine& lineOf(CountSheet& sheet, const std::string& bin, const std::string& part) {
    for (CountLine& line : sheet.lines) {
        if (line.bin == bin && line.part == part) return line;
    }
    throw std::runtime_error("no such line");
}

} // namespace

TEST_CASE("a count sheet goes out in walking order and comes in again with the counts that were typed") {
    SmallShop small;
    CountSheet sheet = countSheet(small.shop);
    CHECK(sheet.lines.size() == 6);
    CHECK(sheet.lines[0].bin == "B1");
    lineOf(sheet, "A2", shimCode("24", "0.12")).counted = 11;
    lineOf(sheet, "A2", shimCode("24", "0.12")).reason = "lost, behind the bench";
    lineOf(sheet, "B1", "SEAL").counted = 3;
    std::ostringstream out;
    writeCountCsv(sheet, out);
    const auto lines = readBack(out.str());
    REQUIRE(lines.size() == 2);
    CHECK(lines[1].reason == "lost, behind the bench");
    const CountReview review = reviewCount(small.shop, lines);
    CHECK(review.counted == 2);
    REQUIRE(review.differences.size() == 1);
    CHECK(review.differences[0].sentence ==
          "A2, shim 24.0 x 6.0 x 0.12 (new): 12 in the books, 11 counted, 1 fewer (lost, behind the bench)");
    CHECK(review.by_reason == std::vector<std::string>{"lost, behind the bench: 1 fewer in 1 lot"});
    CHECK(small.ledger.revision() == 6); // looking posts nothing
    postCount(small.shop, lines);
    CHECK(small.ledger.revision() == 7);
    const auto entry = inventory::StockHistory(small.shop).movement(7);
    REQUIRE(entry);
    CHECK(entry->on_hand_change == -1);
    CHECK(entry->reason == "lost, behind the bench");
    CHECK(countSheet(small.shop, "F").lines.size() == 1);
    CHECK_THROWS_WITH(countSheet(small.shop, "Z"), Contains("no cabinet"));
}

TEST_CASE("the sheet that a spreadsheet program saved, with its title above the headings, is read") {
    const auto lines = readBack("Count sheet,,,,,,,\r\nWrite what is there.,,,,,,,\r\n,,,,,,,\r\n"
                                "bin,part,what,condition,unit,books,counted,reason\r\n"
                                "A1,S18-0.15,shim,new,piece,20,19,lost\r\nA1,S10-0.30,shim,new,piece,20,,\r\n"
                                "Counted by,,,,,,,\r\n");
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].counted == 19);
}

TEST_CASE("every bad line of a count is named and nothing is posted") {
    SmallShop small;
    const std::string head = "bin,part,condition,books,counted,reason\r\n";
    CHECK_THROWS_WITH(readBack(head + "A1,S18-0.15,new,20,x,\r\nA1,S10-0.30,fair,20,1,\r\n"),
                      Contains("line 2 (A1): counted 'x': write a whole number") &&
                          Contains("line 3 (A1): 'fair'"));
    CHECK_THROWS_WITH(readBack("a,b\r\n1,2\r\n"), Contains("this is no count sheet"));
    // As a spreadsheet program of another country saves it.
    CHECK(readBack("bin;part;condition;books;counted\r\nA1;S18-0.15;new;20;19\r\n").front().counted == 19);
    CHECK_THROWS_WITH(
        postCount(small.shop, readBack(head + "A9,S18-0.15,new,20,19,\r\nA1,NOPE,new,2,1,\r\n"
                                              "A1,S18-0.15,new,20,19,\r\nA1,S18-0.15,new,20,18,\r\n")),
        Contains("there is no bin A9") && Contains("there is no part NOPE") && Contains("counted twice"));
    // Two were pulled after the sheet was printed.
    small.ledger.reserve("J1", {{shimCode("18", "0.15"), "A1", inventory::Condition::fresh, 2}});
    CHECK_THROWS_WITH(postCount(small.shop, readBack("bin,part,condition,books,laid_aside,counted\r\n"
                                                     "A1,S18-0.15,new,20,3,17\r\n")),
                      Contains("3 said to lie in a job's tray, but 2 reserved"));
    CHECK_THROWS_WITH(
        readBack("bin,part,condition,books,laid_aside,counted\r\nA1,S18-0.15,new,20,two,17\r\n"),
        Contains("laid_aside 'two': write a whole number"));
    small.ledger.pullAll("J1");
    CHECK_THROWS_WITH(postCount(small.shop, readBack(head + "A1,S18-0.15,new,20,19,\r\n")),
                      Contains("the books had 20 when the sheet was made and have 18 now: count it again"));
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("a count posts while jobs are reserved, and names each job that it leaves short") {
    SmallShop small;
    const std::string disc = shimCode("18", "0.15");
    small.ledger.reserve("J1", {{disc, "A1", inventory::Condition::fresh, 2}});
    small.ledger.reserve("J2", {{disc, "A1", inventory::Condition::fresh, 2}});
    const std::string head = "bin,part,condition,books,counted,reason\r\n";
    SECTION("one fewer, and enough for both") {
        const CountReview review = postCount(small.shop, readBack(head + "A1,S18-0.15,new,20,19,lost\r\n"));
        CHECK(review.left_short.empty());
        CHECK(review.shortSentences().empty());
        CHECK(small.ledger.reservations().size() == 2);
    }
    SECTION("three of four: J2 is the less urgent one") {
        const auto lines = readBack(head + "A1,S18-0.15,new,20,3,lost\r\n");
        for (const bool posted : {false, true}) { // the preview says the same
            const CountReview review = posted ? postCount(small.shop, lines) : reviewCount(small.shop, lines);
            REQUIRE(review.left_short.size() == 1);
            CHECK(review.left_short[0].sentence == "J2 is left short: 1 of S18-0.15 in A1");
            REQUIRE(review.shortSentences().size() == 2);
            CHECK_THAT(review.shortSentences()[1], Contains("least urgent job loses first"));
            CHECK(small.ledger.reservationsOf("J2").at(0).quantity == (posted ? 1 : 2));
        }
        CHECK(small.ledger.reservationsOf("J1").at(0).quantity == 2);
        CHECK(shortJobs(small.shop) ==
              std::map<std::string, std::string>{
                  {"J2", "short since the count of 2026-03-09: 1 of S18-0.15 in A1"}});
        const auto missing = pickList(small.shop, "J2").missing; // its seals were not reserved
        REQUIRE(missing.size() == 2);
        CHECK(missing.front() == "J2 is short since the count of 2026-03-09: 1 of S18-0.15 in A1");
        CHECK(releaseJob(small.shop, "J2").quantity == 1);
        CHECK(shortJobs(small.shop).empty());
        CHECK(releaseJob(small.shop, "J2").quantity == 0);
    }
    SECTION("what lies in a job's tray is there, though it is not in the drawer") {
        const auto lines = readBack("bin,part,condition,books,laid_aside,counted,reason\r\n"
                                    "A1,S18-0.15,new,20,4,15,lost\r\n");
        const CountReview review = postCount(small.shop, lines);
        REQUIRE(review.differences.size() == 1);
        CHECK(review.differences[0].difference == -1);
        CHECK_THAT(review.differences[0].sentence, Contains("15 counted, 4 laid aside, 1 fewer (lost)"));
        CHECK(review.left_short.empty());
        CHECK(inventory::StockHistory(small.shop).ofPart(disc).back().reason == "lost, 4 of them laid aside");
        CHECK(small.ledger.reservations().size() == 2);
        // The same sheet again agrees by now.
        CHECK(postCount(small.shop, lines).differences.empty());
    }
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("a count sheet says for whom pieces are reserved, and brings back what was laid aside") {
    SmallShop small;
    small.ledger.reserve(
        "J1", {{shimCode("18", "0.15"), "A1", inventory::Condition::fresh, 2},
               {shimCode("18", "0.15"), "A1", inventory::Condition::fresh, 1, shimCode("24", "0.10")}});
    CountSheet sheet = countSheet(small.shop);
    CountLine& line = lineOf(sheet, "A1", shimCode("18", "0.15"));
    CHECK(line.reserved == "3 for J1");
    CHECK(lineOf(sheet, "B1", "SEAL").reserved.empty());
    line.counted = 17;
    line.laid_aside = 3;
    std::ostringstream out;
    writeCountCsv(sheet, out);
    const auto lines = readBack(out.str());
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].laid_aside == 3);
    CHECK(reviewCount(small.shop, lines).differences.empty());
}

TEST_CASE("a bin's label carries its code, what lies in it, and a QR mark of the code alone") {
    SmallShop small;
    const auto labels = binLabels(small.shop, {"A1", "B1"});
    REQUIRE(labels.size() == 2);
    CHECK(labels[0].bin == "B1");
    CHECK(labels[0].contents == std::vector<std::string>{"oil seal 35.0 x 48.0 x 11.0"});
    CHECK(labels[1].contents.size() >= 3);
    CHECK(labels[0].mark.side == 21); // version 1 holds a short code (ISO/IEC 18004)
    // The three finder patterns: a dark ring of 7 x 7 in three corners.
    for (const auto& [row, column] : {std::pair{0, 0}, std::pair{0, 14}, std::pair{14, 0}}) {
        const auto r = static_cast<std::size_t>(row);
        const auto c = static_cast<std::size_t>(column);
        for (std::size_t i = 0; i < 7; ++i) {
            CHECK(labels[0].mark.at(r, c + i));
            CHECK(labels[0].mark.at(r + 6, c + i));
            CHECK(labels[0].mark.at(r + i, c));
        }
        CHECK_FALSE(labels[0].mark.at(r + 1, c + 1));
    }
    CHECK(qrMark("A1").dark != qrMark("A2").dark);
    CHECK(binLabels(small.shop, {}, "A").size() == 2);
    CHECK(binLabels(small.shop, {}).size() == 4);
    CHECK_THROWS_WITH(binLabels(small.shop, {"Q1"}), Contains("no bin 'Q1'"));
    CHECK_THROWS_WITH(binLabels(small.shop, {}, "Q"), Contains("no bin to label"));
    CHECK_THROWS_AS(qrMark(std::string(201, 'x')), InputError);
}

TEST_CASE("a label tells what has room on it, and how many more there are") {
    using Lines = std::vector<std::string>;
    BinLabel label;
    CHECK(contentsWithin(label, 20, 3).empty());
    label.contents = {"shim 8.0 x 0.10", "shim 8.0 x 0.15", "shim 8.0 x 0.20"};
    CHECK(contentsWithin(label, 20, 3) == label.contents);
    CHECK(contentsWithin(label, 20, 2) == Lines{"shim 8.0 x 0.10", "and 2 more"});
    label.contents = {"washer 8.0 x 14.0 x 1.00", "washer 10.0 x 16.0 x 1.50",
                      "nut"}; // two lines each but one
    CHECK(contentsWithin(label, 20, 5) == label.contents);
    CHECK(contentsWithin(label, 20, 4) == Lines{"washer 8.0 x 14.0 x 1.00", "and 2 more"});
    CHECK(contentsWithin(label, 20, 2) == Lines{"3 sizes or parts"});
}

TEST_CASE("the workbook of a count comes back as it is, the numbers typed into it and all") {
    SmallShop small;
    const auto path = small.folder / "count.xlsx";
    CountSheet sheet = countSheet(small.shop);
    for (CountLine& line : sheet.lines) line.counted = line.books;
    lineOf(sheet, "A2", shimCode("24", "0.12")).counted = 11;
    writeCountSheet(sheet, path);
    const std::vector<CountLine> lines = readCountSheet(path);
    REQUIRE(lines.size() == sheet.lines.size());
    const CountReview review = reviewCount(small.shop, lines);
    REQUIRE(review.differences.size() == 1);
    CHECK(review.differences[0].difference == -1);
}
