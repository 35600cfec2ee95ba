// SPDX-License-Identifier: GPL-3.0-or-later
#include "support.h"

#include "inventory/csv_import.h"
#include "inventory/stock_history.h"
#include "inventory/stock_verify.h"
#include "inventory/thickness_reading.h"

#include <catch2/catch.hpp>

#include <sys/resource.h>

#include <fstream>

using namespace shimledger;
using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

const std::string stock_header =
    "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity,part,counted_on\n";

std::string allProblems(const ImportReport& report) {
    std::string text;
    for (const ImportProblem& problem : report.problems) text += problem.text() + "\n";
    return text;
}

/// Imports one file into the small shop; the problems as text, "" if it went in.
std::string problemsOf(SmallShop& small, const std::string& name, const std::string& content) {
    writeBytes(small.folder / name, content);
    try {
        importFile(small.shop, small.folder / name);
    } catch (const ImportRefused& refused) {
        return allProblems(refused.report());
    }
    return "";
}

} // namespace

TEST_CASE("opening stock becomes receipts in the ledger, with readings", "[server]") {
    SmallShop small;
    CHECK(problemsOf(small, "stock.csv",
                     stock_header + "shim,24,6.0,0.10,0.098,new,A1,12,,2026-01-31\n"
                                    "shim,,,,,used,A1,3,S24-10,\n"
                                    "oil_seal,48,35,,,new,B1,2,SEAL,\n"
                                    "shim,24,6,0.15,,new,A2,0,,\n")
              .empty());
    CHECK(small.lot("S24-10", "A1").on_hand == 12);
    CHECK(small.lot("S24-10", "A1").measured->mean.micrometres() == 98);
    CHECK(small.lot("S24-10", "A1", Condition::used).on_hand == 3);
    CHECK(small.lot("SEAL", "B1").on_hand == 2);
    const auto entries = StockHistory(small.shop).ofBin("A1");
    REQUIRE(entries.size() == 2);
    CHECK(entries[0].kind == MovementKind::receipt);
    CHECK(entries[0].reason == "opening stock");
    CHECK(entries[0].utc.text() == "2026-01-31T00:00:00Z");
    CHECK(entries[1].utc == test_time);
    CHECK(verifyStock(small.shop).good());
}

TEST_CASE(
    "every bad line of a file is reported in one go, with line, column and reason, and nothing is imported") {
    SmallShop small;
    const std::string problems = problemsOf(small, "stock.csv",
                                            stock_header + "shim,24,6,0.10,,new,A1,12,,\n"
                                                           "shim,24,6,0.1005,,new,A1,12,,\n"
                                                           "shim,24,6,0.10,,fair,A1,2.5,,\n"
                                                           "shim,24,6,0.10,,new,Z9,12,,\n"
                                                           "shim,24,6,0.12,,new,A2,12,,\n"
                                                           "shim,24,6,0.10,,new,A1,-4,,\n"
                                                           "gear,24,6,0.10,,new,A1,4,,\n"
                                                           "shim,24,6,0.10,,new,A1,4,,\n"
                                                           "shim,24,6,0.10,,new,A2,4,NOPE,\n"
                                                           "shim,24,6,0.10,,new,A2,4,SEAL,\n"
                                                           "shim,22,6,0.10,,new,A2,4,S24-10,\n"
                                                           "oil_seal,,,,,new,A2,4,,\n"
                                                           "shim,24,6,,,new,A2,4,,\n"
                                                           "shim,24,6,0.15,1.5,new,A2,4,,\n"
                                                           "shim,24,6,0.15,,new,A2,4,,31.1.2026\n"
                                                           "shim,24,6,0.15,,new,A2\n"
                                                           "shim,24,6,0.15,,\"new\"x,A2,4,,\n");
    CHECK(
        problems ==
        "stock.csv, line 3, column 4 (thickness_mm): '0.1005' mm has a digit finer than 1 um: give at most "
        "three decimals\n"
        "stock.csv, line 4, column 6 (condition): 'fair' is no condition: write new or used\n"
        "stock.csv, line 4, column 8 (quantity): '2.5' is not a whole number: write digits only, such as 12\n"
        "stock.csv, line 5, column 7 (bin): there is no bin 'Z9' in the shop file\n"
        "stock.csv, line 6, column 4 (thickness_mm): there is no shim 24.0 x 6.0 x 0.12 in the catalogue: "
        "add it as a part first\n"
        "stock.csv, line 7, column 8 (quantity): -4 is out of range: give 0 to 1000000000\n"
        "stock.csv, line 8, column 1 (kind): 'gear' is no kind of part: write one of shim, bushing, "
        "oil_seal, dust_seal, "
        "o_ring, snap_ring, washer, fluid, other\n"
        "stock.csv, line 9, column 7 (bin): part 'S24-10' (new) has its stock in bin 'A1' already, in the "
        "shop file or "
        "further up: opening stock is given once, after that post a count\n"
        "stock.csv, line 10, column 9 (part): there is no part 'NOPE' in the catalogue\n"
        "stock.csv, line 11, column 1 (kind): part 'SEAL' is of kind oil_seal in the catalogue, not shim\n"
        "stock.csv, line 12, column 2 (od_mm): 22.00 mm does not fit part 'S24-10', which has 24.00 mm in "
        "the catalogue\n"
        "stock.csv, line 13, column 9 (part): is empty: only a shim can be named by its size alone\n"
        "stock.csv, line 14, column 4 (thickness_mm): is empty: a shim without a part code needs all three "
        "sizes\n"
        "stock.csv, line 15, column 5 (measured_mm): a reading of 1.500 mm cannot be of part 'S24-15', which "
        "is 0.15 mm "
        "thick: it is ten times 0.15 mm: has a digit slipped?\n"
        "stock.csv, line 16, column 10 (counted_on): '31.1.2026' is not a date: write YYYY-MM-DD, such as "
        "2026-03-09\n"
        "stock.csv, line 17: the line has 7 cells, the header 10\n"
        "stock.csv, line 18, column 6 (condition): text follows the closing quote of a cell: write an inner "
        "quote twice\n");
    CHECK(small.ledger.revision() == 0);
    CHECK(readingsOfPart(small.shop, "S24-15").empty());
}

TEST_CASE("a bad header is reported before any line is read") {
    SmallShop small;
    CHECK_THAT(problemsOf(small, "bins.csv", "bin,colour,bin\nC1,red,C2\n"),
               Contains("column 2 (colour): 'colour' is no column of bins.csv") &&
                   Contains("column 3 (bin): the column is there twice") &&
                   Contains("column cabinet: the column is missing") &&
                   Contains("column walking_order: the column is missing"));
    CHECK_THAT(problemsOf(small, "bins.csv", "bin;cabinet;walking_order\nC1;C;5\n"), Contains("semicolons"));
    CHECK_THAT(problemsOf(small, "bins.csv", ""), Contains("the file is empty"));
    CHECK(BinList(small.shop).list().size() == 3);
}

TEST_CASE("columns come in any order, optional ones may be left out, CRLF and BOM are fine") {
    SmallShop small;
    CHECK(
        problemsOf(small, "bins.csv", "\xef\xbb\xbfwalking_order,bin,cabinet\r\n7,C1,\"C, upper\r\nrow\"\r\n")
            .empty());
    CHECK(BinList(small.shop).get("C1") == Bin{"C1", "C, upper\r\nrow", 7, ""});
}

TEST_CASE("one bad line in one file keeps the whole folder out") {
    SmallShop small;
    const auto folder = small.folder / "in";
    std::filesystem::create_directory(folder);
    writeBytes(folder / "bins.csv", "bin,cabinet,walking_order\nC1,C,1\nA1,A,1\n");
    writeBytes(folder / "parts.csv", "part,kind,description\nNEW,other,thing\n");
    writeBytes(folder / "suppliers.csv", "supplier,lead_time_days,currency,freight\nS,soon,EUR,1.234\n");
    writeBytes(folder / "notes.csv", "whatever\n");
    try {
        importShopFolder(small.shop, folder);
        FAIL("was imported");
    } catch (const ImportRefused& refused) {
        CHECK(refused.report().problem_count == 3);
        CHECK(refused.report().ignored == std::vector<std::string>{"notes.csv"});
        CHECK_THAT(refused.what(),
                   Contains("3 problems. Nothing was imported") && Contains("bin 'A1' is there already"));
        CHECK_THAT(allProblems(refused.report()),
                   Contains("suppliers.csv, line 2, column 2 (lead_time_days): 'soon'") &&
                       Contains("column 4 (freight): '1.234' is not an amount of money"));
    }
    CHECK_FALSE(BinList(small.shop).find("C1"));
    CHECK_FALSE(PartCatalogue(small.shop).find("NEW"));
}

TEST_CASE("a file of the folder that is nearly called like a table, or is its workbook, is not passed over") {
    SmallShop small;
    const auto folder = small.folder / "in";
    std::filesystem::create_directory(folder);
    writeBytes(folder / "bins.csv", "bin,cabinet,walking_order\nC1,C,1\n");
    const auto whyWith = [&](const std::string& name) -> std::string {
        writeBytes(folder / name, "whatever\n");
        std::string sentence;
        try {
            static_cast<void>(previewShopFolder(small.shop, folder));
        } catch (const InputError& error) {
            sentence = error.what();
        }
        std::filesystem::remove(folder / name);
        return sentence;
    };
    CHECK_THAT(whyWith("Stock.csv"), Contains("'Stock.csv'") && Contains("call it stock.csv"));
    CHECK_THAT(whyWith("stock.CSV"), Contains("call it stock.csv"));
    CHECK_THAT(whyWith("stok.csv"), Contains("call it stock.csv"));
    CHECK_THAT(whyWith("stock.xlsx"), Contains("save it as CSV, called stock.csv"));
    CHECK_THAT(whyWith("Stock.ods"), Contains("save it as CSV, called stock.csv"));
    CHECK_THAT(whyWith("movement"), Contains("save it as CSV, called movements.csv"));
    CHECK_THAT(whyWith("Bins.csv"), Contains("call it bins.csv"));      // which of both would count?
    CHECK_THAT(whyWith("stock.csv.txt"), Contains("called stock.csv")); // as an editor names it
    CHECK_THAT(whyWith("stock.csv.bak"), Contains("called stock.csv"));
    CHECK(whyWith("bins.csv.bak").empty());
    // The workbook of a table that is there, another version of it, and things that are no table.
    for (const char* name : {"bins.xlsx", "bin.csv", "notes.csv", "README", "photo.jpg", "shop.db"})
        CHECK(whyWith(name).empty());
    std::filesystem::remove(folder / "bins.csv");
    CHECK_THAT(whyWith("stock.xlsx"), Contains("save it as CSV, called stock.csv")); // nothing else is there
}

TEST_CASE("a single file and a column that are nearly called right are told with the right name") {
    SmallShop small;
    writeBytes(small.folder / "Stock.csv", "x\n");
    CHECK_THROWS_WITH(importFile(small.shop, small.folder / "Stock.csv"), Contains("call it stock.csv"));
    CHECK_THAT(problemsOf(small, "bins.csv", "bin,Cabinet,walking_order\nC1,C,5\n"),
               Contains("'Cabinet' is no column of bins.csv: did you mean 'cabinet'?"));
}

TEST_CASE("lines that only name a bad line's code are counted, not each called a problem") {
    SmallShop small;
    const auto folder = small.folder / "in";
    std::filesystem::create_directory(folder);
    writeBytes(folder / "suppliers.csv", "supplier,lead_time_days,currency\nS,-3,EUR\n");
    writeBytes(folder / "parts.csv", "part,kind,description\nNEW,nonsense,thing\n");
    writeBytes(folder / "supplier_parts.csv",
               "supplier,part,pack_size,pack_price\nS,S24-10,10,1.00\nS,NEW,10,1.00\nS,S24-15,0,1.00\n");
    writeBytes(folder / "movements.csv", "utc,movement,part,bin,condition,quantity\n"
                                         "2026-01-01T08:00:00Z,receipt,NEW,A1,new,4\n");
    const ImportReport report = previewShopFolder(small.shop, folder);
    CHECK(report.problem_count == 3); // the lead time, the kind, and the pack of zero beside the bad supplier
    CHECK(report.unread_count == 3);
    CHECK_THAT(problemCountText(report),
               Contains("3 problems; 3 further lines name what those lines should"));
    CHECK_THAT(allProblems(report), Contains("pack_size") && !Contains("there is no supplier"));
    CHECK_FALSE(report.good());
}

TEST_CASE("a preview says what would come in and changes nothing") {
    SmallShop small;
    const auto folder = small.folder / "in";
    std::filesystem::create_directory(folder);
    writeBytes(folder / "bins.csv", "bin,cabinet,walking_order\nC1,C,1\nC2,C,2\n");
    writeBytes(folder / "stock.csv", stock_header + "shim,24,6,0.10,,new,C1,12,,\n");
    const ImportReport report = previewShopFolder(small.shop, folder);
    CHECK(report.good());
    REQUIRE(report.files.size() == 2);
    CHECK(report.files[0].what == "bins");
    CHECK(report.files[0].rows == 2);
    CHECK(report.movements == 1);
    REQUIRE(report.stock.size() == 1);
    CHECK(report.stock[0].part == "S24-10");
    CHECK(report.stock[0].before == 0);
    CHECK(report.stock[0].after == 12);
    CHECK_FALSE(BinList(small.shop).find("C1"));
    CHECK(small.ledger.revision() == 0);
    writeBytes(folder / "bins.csv", "bin,cabinet,walking_order\nA1,C,1\n");
    CHECK(previewShopFolder(small.shop, folder).problem_count == 2);
    writeBytes(folder / "bins.csv", "bin,cabinet,walking_order\nC1,C,1\nC2,C,2\n");
    CHECK(importShopFolder(small.shop, folder).movements == 1);
    CHECK(small.lot("S24-10", "C1").on_hand == 12);
}

TEST_CASE("movements are posted in order of time, whatever their order in the file", "[server]") {
    SmallShop small;
    CHECK(problemsOf(small, "movements.csv",
                     "utc,movement,part,bin,condition,quantity,to_bin,job,reason,supplier\n"
                     "2026-02-03T08:00:00Z,issue,S24-10,A1,new,4,,J1,for the fork,\n"
                     "2026-02-02T08:00:00Z,move,S24-10,A2,new,6,A1,,,\n"
                     "2026-02-01T08:00:00Z,receipt,S24-10,A2,new,10,,,,Invented Discs\n"
                     "2026-02-04T08:00:00Z,count,S24-10,A2,new,5,,,counted,\n")
              .empty());
    CHECK(small.lot("S24-10", "A1").on_hand == 2);
    CHECK(small.lot("S24-10", "A2").on_hand == 5);
    const auto entries = StockHistory(small.shop).ofPart("S24-10");
    CHECK(entries.front().supplier == "Invented Discs");
    CHECK(entries.front().utc.text() == "2026-02-01T08:00:00Z");
    CHECK(JobBook(small.shop).get("J1").status == JobStatus::pulled);
}

TEST_CASE("a movement that the drawers do not allow is reported by its line and keeps everything out") {
    SmallShop small;
    const std::string problems = problemsOf(small, "movements.csv",
                                            "utc,movement,part,bin,condition,quantity,reverses,job\n"
                                            "2026-02-01T08:00:00Z,receipt,S24-10,A1,new,10,,\n"
                                            "2026-02-03T08:00:00Z,issue,S24-10,A1,new,40,,\n"
                                            "2026-02-02T08:00:00Z,scrap,S24-10,A2,new,1,,\n"
                                            "2026-02-05T08:00:00Z,reversal,S24-10,A2,new,1,7,\n");
    CHECK(problems ==
          "movements.csv, line 4, column 6 (quantity): cannot scrap 1 of part 'S24-10' (new) in bin 'A2': "
          "only 0 "
          "available (on hand 0, reserved 0)\n"
          "movements.csv, line 3, column 6 (quantity): cannot issue 40 of part 'S24-10' (new) in bin 'A1': "
          "only 10 "
          "available (on hand 10, reserved 0)\n"
          "movements.csv, line 5, column 7 (reverses): no movement further up has the number 7\n");
    CHECK(small.ledger.revision() == 0);
    CHECK_THAT(problemsOf(small, "movements.csv",
                          "utc,movement,part,bin,condition,quantity,reverses,job\n"
                          "yesterday,receipt,S24-10,A1,new,10,,\n"
                          "2026-02-03T08:00:00Z,reserve,S24-10,A1,new,4,,\n"
                          "2026-02-03T08:00:00Z,reversal,S24-10,A1,new,4,,\n"
                          "2026-02-03T08:00:00Z,theft,S24-10,A1,new,4,,\n"
                          "2026-02-03T08:00:00Z,issue,S24-10,A1,new,4,,J9\n"),
               Contains("line 2, column 1 (utc): 'yesterday' is not a UTC time") &&
                   Contains("line 3, column 8 (job): a reserve belongs to a job") &&
                   Contains("line 4, column 7 (reverses): a reversal, and only a reversal") &&
                   Contains("line 5, column 2 (movement): 'theft' is no movement") &&
                   Contains("line 6, column 8 (job): there is no job 'J9'"));
}

TEST_CASE("jobs come with their stacks and consumables, and rows that cannot be are reported") {
    SmallShop small;
    const auto folder = small.folder / "in";
    std::filesystem::create_directory(folder);
    writeBytes(folder / "jobs.csv", "job,customer,model,valve,legs,opened,clamp_od_mm,port_inner_diameter_mm,"
                                    "port_outer_diameter_mm,shim_id_mm,status\n"
                                    "J7,Private Person,FORK,base,2,2026-03-01,10,13,20,6,closed\n");
    const std::string stacks = "job,role,leg,position,count,od_mm,thickness_mm\n"
                               "J7,target,0,1,4,24,0.10\nJ7,target,0,2,1,12,0.30\n";
    writeBytes(folder / "job_consumables.csv", "job,part,quantity,reason\nJ7,SEAL,2,lip torn\n");
    SECTION("good") {
        writeBytes(folder / "job_stacks.csv", stacks);
        importShopFolder(small.shop, folder);
        const JobBook jobs(small.shop);
        CHECK(jobs.get("J7").status == JobStatus::closed);
        CHECK(jobs.stack("J7", StackRole::target)->rows.size() == 2);
        CHECK(jobs.consumables("J7").size() == 1);
    }
    SECTION("bad") {
        writeBytes(folder / "job_stacks.csv", stacks + "J7,target,0,2,1,12,0.30\nJ7,target,1,3,1,12,0.30\n"
                                                       "J7,middle,0,3,1,12,0.30\nJ8,target,0,1,1,12,0.30\n");
        const ImportReport report = previewShopFolder(small.shop, folder);
        CHECK(report.problem_count == 4);
        CHECK_THAT(allProblems(report), Contains("line 4, column 4 (position): job 'J7' has a row 2") &&
                                            Contains("line 5, column 3 (leg)") &&
                                            Contains("line 6, column 2 (role)") &&
                                            Contains("line 7, column 1 (job)"));
    }
    SECTION("a gap in the positions") {
        writeBytes(folder / "job_stacks.csv", stacks + "J7,target,0,4,1,12,0.30\n");
        CHECK_THAT(allProblems(previewShopFolder(small.shop, folder)), Contains("number them 1, 2, 3"));
    }
}

TEST_CASE("no problem ever quotes the customer") {
    SmallShop small;
    const std::string problems =
        problemsOf(small, "jobs.csv",
                   "job,customer,model,valve,legs,opened,clamp_od_mm,port_inner_diameter_mm,"
                   "port_outer_diameter_mm,shim_id_mm\n"
                   "J1,Private Person,FORK,base,2,2026-03-01,10,13,20,6\n"
                   "J8,Private \"Person,FORK,base,2,2026-03-01,10,13,20,6\n"
                   "J9,Private Person\xff,FORK,base,2,2026-03-01,10,13,20,6\n"
                   "J9,Private Person,FORK,base,9,soon,x,13,20,6\n");
    CHECK_THAT(problems,
               Contains("line 2") && Contains("line 3") && Contains("line 4") && Contains("line 5"));
    CHECK_THAT(problems, !Contains("Private") && !Contains("Person"));
}

TEST_CASE("a file or folder that holds nothing known is refused with the names that are") {
    SmallShop small;
    writeBytes(small.folder / "letters.csv", "a,b\n");
    CHECK_THAT(refusalOf([&] { importFile(small.shop, small.folder / "letters.csv"); }),
               Contains("bins.csv"));
    CHECK_THAT(refusalOf([&] { importFile(small.shop, small.folder / "bins.csv"); }),
               Contains("there is no file"));
    CHECK_THAT(refusalOf([&] { importShopFolder(small.shop, small.folder / "nowhere"); }),
               Contains("there is no folder"));
    std::filesystem::create_directory(small.folder / "empty");
    CHECK_THAT(refusalOf([&] { importShopFolder(small.shop, small.folder / "empty"); }),
               Contains("holds none of"));
}

TEST_CASE("of very many problems all are counted and the first ten thousand kept") {
    SmallShop small;
    std::string text = "bin,cabinet,walking_order\n";
    for (int i = 0; i < 10'500; ++i) text += "X,C,first\n";
    writeBytes(small.folder / "bins.csv", text);
    const ImportReport report = previewFile(small.shop, small.folder / "bins.csv");
    CHECK(report.problem_count == 10'500);
    CHECK(report.problems.size() == 10'000);
}

namespace {

long peakMemoryMebibytes() {
    rusage usage{};
    ::getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss / 1024;
}

/// So many good lines, then so many bad ones, each in a file of its own.
void readMany(std::int64_t many_lines, long most_mebibytes) {
    const TemporaryFolder folder;
    ShopFile shop = ShopFile::create(folder.shop("shop.db"), fixedClock(test_time));
    const auto path = folder / "bins.csv";
    const auto write = [&](const auto& line) {
        std::ofstream out(path, std::ios::trunc);
        out << "bin,cabinet,walking_order,note\n";
        for (std::int64_t i = 1; i <= many_lines; ++i) line(out, i);
    };
    const long before = peakMemoryMebibytes();
    write([](std::ostream& out, std::int64_t i) { out << "B" << i << ",A," << i << ",\n"; });
    const ImportReport good = importFile(shop, path);
    CHECK(good.good());
    CHECK(good.files.at(0).rows == many_lines);
    write([](std::ostream& out, std::int64_t) { out << "B,\"x\n"; });
    const ImportReport bad = previewFile(shop, path);
    CHECK(bad.problem_count >= many_lines / 2);
    CHECK(bad.problems.size() == 10'000);
    CHECK(peakMemoryMebibytes() - before < most_mebibytes);
}

} // namespace

TEST_CASE("ten million lines are read in bounded memory, good ones and bad ones", "[.long]") {
    readMany(10'000'000, 256);
}
TEST_CASE("a hundred thousand lines are read in bounded memory, good ones and bad ones") {
    readMany(100'000, 256);
}
