// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/csv_reader.h"

#include <catch2/catch.hpp>

#include <sstream>

using namespace shimledger::inventory;
using Catch::Matchers::Contains;

namespace {

std::vector<CsvRecord> readAll(const std::string& text) {
    std::istringstream in(text);
    CsvReader reader(in);
    std::vector<CsvRecord> records;
    CsvRecord record;
    while (reader.next(record)) records.push_back(record);
    return records;
}

using Cells = std::vector<std::string>;

} // namespace

TEST_CASE("plain records end with LF, CRLF, a lone CR or the end of the file") {
    for (const std::string text : {"a,b\nc,d\n", "a,b\r\nc,d\r\n", "a,b\rc,d", "a,b\n\n\r\nc,d"}) {
        const auto records = readAll(text);
        REQUIRE(records.size() == 2);
        CHECK(records[0].cells == Cells{"a", "b"});
        CHECK(records[1].cells == Cells{"c", "d"});
    }
}

TEST_CASE("quoted cells hold commas, quotes and line breaks, verbatim") {
    const auto records = readAll("\"a,b\",\"say \"\"hi\"\"\",\"two\r\nlines\", blank \n\"\",x,y,z\n");
    REQUIRE(records.size() == 2);
    CHECK(records[0].cells == Cells{"a,b", "say \"hi\"", "two\r\nlines", " blank "});
    CHECK(records[1].cells == Cells{"", "x", "y", "z"});
    CHECK(records[1].line == 3);
}

TEST_CASE("a byte order mark is passed over, NUL bytes are kept") {
    CHECK(readAll("\xef\xbb\xbf"
                  "bin,cabinet\n")[0]
              .cells == Cells{"bin", "cabinet"});
    const std::string with_nul("a\0b,c\n", 6);
    CHECK(readAll(with_nul)[0].cells == Cells{std::string("a\0b", 3), "c"});
}

TEST_CASE("empty cells are cells, empty files hold nothing") {
    CHECK(readAll(",\n")[0].cells == Cells{"", ""});
    CHECK(readAll("a,")[0].cells == Cells{"a", ""});
    CHECK(readAll("").empty());
    CHECK(readAll("\n\r\n\n").empty());
}

TEST_CASE("a faulty record says where and why, and the next line is read all the same") {
    struct Bad {
        std::string text;
        std::string says;
        int column;
    };
    const std::vector<Bad> bad{{"x,a\"b,c", "inside a cell", 2},
                               {"x,\"a\"b,c", "follows the closing quote", 2},
                               {"x,y,\xff", "not UTF-8", 3},
                               {"x,\xed\xa0\x80", "not UTF-8", 2},
                               {std::string(250, ','), "more than 200 cells", 201},
                               {"x," + std::string(5 << 20, 'a'), "the cell is longer than 4 MiB", 2},
                               {"x,\"" + std::string(5 << 20, 'a') + '"', "is its closing quote missing", 2}};
    for (const Bad& one : bad) {
        INFO(one.says);
        const auto records = readAll("h,h\n" + one.text + "\nnext,line\n");
        REQUIRE(records.size() == 3);
        CHECK_THAT(records[1].fault, Contains(one.says));
        CHECK(records[1].fault_column == one.column);
        CHECK(records[1].line == 2);
        CHECK(records[2].cells == Cells{"next", "line"});
        CHECK(records[2].line == 3);
    }
}

TEST_CASE("a record may hold several of the longest texts, but not any number of them") {
    const std::string longest(std::size_t{4} << 20U, 'a');
    std::string text = longest;
    for (int cell = 1; cell < 15; ++cell)
        text += (cell % 2 == 0 ? "," : ",\"") + longest + (cell % 2 == 0 ? "" : "\"");
    const auto good = readAll(text + "\n");
    REQUIRE(good.size() == 1);
    CHECK(good[0].fault.empty());
    CHECK(good[0].cells == Cells(15, longest));
    const auto bad = readAll(text + "," + longest + "," + longest + "\nnext,line\n");
    REQUIRE(bad.size() == 2);
    CHECK_THAT(bad[0].fault, Contains("longer than 64 MiB"));
    CHECK(bad[1].cells == Cells{"next", "line"});
}

TEST_CASE("a quote that is never closed is reported where it opens") {
    const auto records = readAll("a,b\nc,\"d\ne,f\n");
    REQUIRE(records.size() == 2);
    CHECK(records[1].line == 2);
    CHECK_THAT(records[1].fault, Contains("opens in line 2 is never closed"));
}

TEST_CASE("a file in UTF-16 is called by its name") {
    const auto records = readAll(std::string("\xff\xfe"
                                             "b\0i\0n\0",
                                             8));
    REQUIRE(records.size() == 1);
    CHECK_THAT(records[0].fault, Contains("UTF-16"));
}
