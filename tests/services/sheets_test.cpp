// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/services/small_shop.h"
#include "tests/services/zip_member.h"

#include "app/services/file_fault.h"
#include "app/services/plan_job.h"
#include "app/services/reserve_plan.h"
#include "app/services/sheets/cell.h"
#include "app/services/sheets/pick_list_sheet.h"
#include "app/services/sheets/reorder_sheet.h"
#include "app/services/sheets/workbook_archive.h"
#include "app/services/sheets/workbook_reader.h"
#include "inventory/output_file.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <clocale>
#include <csignal>
#include <cstdlib>
#include <ctime>
#include <fstream>
#include <iterator>
#include <optional>

using namespace shimledger;
using namespace shimledger::services;

namespace {

PickList reservedList(SmallShop& small) {
    reservePlan(small.shop, planJob(small.shop, "J1"), 0);
    return pickList(small.shop, "J1");
}

class ClockOnTheWall {
public:
    explicit ClockOnTheWall(const char* zone) {
        if (const char* before = std::getenv("TZ")) m_before = before;
        ::setenv("TZ", zone, 1);
        ::tzset();
    }
    ~ClockOnTheWall() {
        if (m_before)
            ::setenv("TZ", m_before->c_str(), 1);
        else
            ::unsetenv("TZ");
        ::tzset();
    }
    ClockOnTheWall(const ClockOnTheWall&) = delete;
    ClockOnTheWall& operator=(const ClockOnTheWall&) = delete;

private:
    std::optional<std::string> m_before;
};

std::size_t filesIn(const TemporaryFolder& folder) {
    std::size_t count = 0;
    for ([[maybe_unused]] const auto& entry : std::filesystem::directory_iterator(folder.path())) ++count;
    return count;
}

} // namespace

TEST_CASE("Text that begins like a formula stays text") {
    for (const char* text : {"=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "12", "=HYPERLINK(\"x\")"}) {
        INFO(text);
        const Cell cell = textCell(text);
        CHECK(cell.kind == Cell::Kind::text);
        CHECK(cell.text == text);
    }
    CHECK(textCell("").kind == Cell::Kind::blank);
    CHECK(formulaCell("=A1*2", 4).kind == Cell::Kind::formula);
    CHECK(formulaCell("=A1*2", 4).number == 4);
    CHECK(moneyCell(567).number == 5.67);
}

TEST_CASE("A text longer than a cell may be is cut at a letter, marked, and the sheet is written") {
    constexpr std::size_t most = 32'767; // ECMA-376 part 1, 18.18.37; counted in units of UTF-16
    const std::string mark = "\xE2\x80\xA6";
    CHECK(textCell(std::string(most, 'x')).text == std::string(most, 'x'));
    CHECK(textCell(std::string(most + 1, 'x')).text == std::string(most - 1, 'x') + mark);
    std::string wide;
    for (int i = 0; i < 20'000; ++i) wide += "\xF0\x9F\x94\xA7"; // two units each
    CHECK(textCell(wide).text == wide.substr(0, std::size_t{4} * 16'383) + mark);

    SmallShop small;
    PickList list = reservedList(small);
    list.note = std::string(1'000'000, 'n');
    const TemporaryFolder folder;
    writePickListSheet({{list}}, folder / "long.xlsx");
    CHECK(std::filesystem::file_size(folder / "long.xlsx") > 5'000);
}

TEST_CASE(
    "A long note is written whole, over as many rows as it needs, and what is endless is cut with a mark") {
    SmallShop small;
    PickList list = reservedList(small);
    const auto wordsOf = [&](int count) {
        std::string note;
        for (int i = 0; i < count; ++i) note += (i == 0 ? "" : " ") + ("word" + std::to_string(i));
        return note;
    };
    const TemporaryFolder folder;
    const auto written = [&](const std::string& note, const char* name) {
        list.note = note;
        writePickListSheet({{list}}, folder / name);
        std::ifstream file(folder / name, std::ios::binary);
        const std::string bytes{std::istreambuf_iterator<char>(file), {}};
        std::string text;
        for (const RawSheet& sheet : readWorkbook(bytes, name)) {
            for (const RawRow& row : sheet.rows) {
                for (const RawCell& cell : row.cells) text += cell.text + " ";
            }
        }
        return text;
    };
    const std::string whole = written(wordsOf(900), "long.xlsx");
    for (int i = 0; i < 900; ++i) {
        INFO(i);
        CHECK(whole.find("word" + std::to_string(i) + " ") != std::string::npos);
    }
    CHECK(whole.find("\xE2\x80\xA6") == std::string::npos);
    CHECK(written("first line\n\nthird line", "breaks.xlsx").find("first line\n\nthird line ") !=
          std::string::npos);
    const std::string one_word(150, 'w'); // longer than a line: nothing is put into it
    CHECK(written(one_word, "word.xlsx").find(one_word) != std::string::npos);
    const std::string cut = written(wordsOf(40'000), "endless.xlsx");
    CHECK(cut.find("word1000 ") != std::string::npos);
    CHECK(cut.find("\xE2\x80\xA6") != std::string::npos);
}

TEST_CASE("Sheets get names that every spreadsheet program takes, and no two alike") {
    std::set<std::string> taken;
    CHECK(sheetName("Old Mill: A/B [1]", taken) == "Old Mill- A-B -1-");
    CHECK(sheetName("'quoted'", taken) == "-quoted-");
    CHECK(sheetName("", taken) == "Sheet");
    const std::string long_name = sheetName("Northgate Disc Works (invented) and Sons", taken);
    CHECK(long_name == "Northgate Disc Works (invented)");
    CHECK(sheetName("northgate disc works (INVENTED)", taken) == "northgate disc works (INVENTE 2");
    CHECK(sheetReference("O'Hara") == "'O''Hara'!");
    CHECK(headerText("a & b") == "a && b");
    CHECK(headerText("\xC3\xA4\xC3\xB6", 3) == "\xC3\xA4");
}

TEST_CASE("The same list gives the same bytes, on both papers, and nothing is left beside it") {
    SmallShop small;
    const PickList list = reservedList(small);
    const TemporaryFolder folder;
    writePickListSheet({{list}}, folder / "one.xlsx");
    writePickListSheet({{list}}, folder / "two.xlsx");
    writePickListSheet({{list}}, folder / "letter.xlsx", PaperSize::letter);
    const std::string bytes = readBytes(folder / "one.xlsx");
    CHECK(bytes.substr(0, 2) == "PK");
    CHECK(bytes == readBytes(folder / "two.xlsx"));
    CHECK(bytes != readBytes(folder / "letter.xlsx"));
    CHECK(filesIn(folder) == 3);
}

TEST_CASE("A sheet tells the time of the clock on the wall, and which clock that is") {
    SmallShop small;
    const PickList list = reservedList(small);
    const TemporaryFolder folder;
    const ClockOnTheWall central_europe("CET-1CEST,M3.5.0,M10.5.0/3"); // POSIX.1-2017, chapter 8.3: TZ
    writePickListSheet({{list}}, folder / "one.xlsx");
    const std::string page = zipMember(readBytes(folder / "one.xlsx"), "xl/worksheets/sheet1.xml");
    CHECK_THAT(page, Catch::Matchers::Contains("2026-03-09 15:05 CET"));
}

TEST_CASE("A reorder sheet is reproducible, also when nothing is to be bought and with hostile names") {
    SmallShop small;
    ReorderPlan plan = reorderPlan(small.shop);
    REQUIRE_FALSE(plan.orders.empty());
    plan.orders.front().supplier.name = "=cmd|'/c calc'!A1 & co [x]";
    plan.orders.front().lines.front().what = "=1+1";
    const TemporaryFolder folder;
    writeReorderSheet(plan, folder / "one.xlsx");
    writeReorderSheet(plan, folder / "two.xlsx");
    CHECK(readBytes(folder / "one.xlsx") == readBytes(folder / "two.xlsx"));
    CHECK(readBytes(folder / "one.xlsx").substr(0, 2) == "PK");
    writeReorderSheet({}, folder / "empty.xlsx");
    CHECK(readBytes(folder / "empty.xlsx").substr(0, 2) == "PK");
}

TEST_CASE("A sheet that cannot be written is told in one sentence and leaves what was there") {
    SmallShop small;
    const PickList list = reservedList(small);
    const TemporaryFolder folder;
    CHECK_THROWS_AS(writePickListSheet({{list}}, folder / "no-such-folder/list.xlsx"), InputError);
    std::filesystem::create_directory(folder / "list.xlsx"); // a folder has that name
    CHECK_THROWS_AS(writePickListSheet({{list}}, folder / "list.xlsx"), InputError);
    CHECK(filesIn(folder) == 1);
}

TEST_CASE("Any file is replaced where the person has said so") {
    SmallShop small;
    const PickList list = reservedList(small);
    const TemporaryFolder folder;
    std::ofstream(folder / "list.xlsx") << "old";
    writePickListSheet({{list}}, inventory::OutputTarget(folder / "list.xlsx", true));
    CHECK(readBytes(folder / "list.xlsx").substr(0, 2) == "PK");
}

TEST_CASE("A comma locale of the program does not reach into the file") {
    SmallShop small;
    const ReorderPlan plan = reorderPlan(small.shop);
    const TemporaryFolder folder;
    writeReorderSheet(plan, folder / "plain.xlsx");
    const std::string before = std::setlocale(LC_NUMERIC, nullptr);
    for (const char* name : {"de_DE.UTF-8", "de_DE", "fr_FR.UTF-8"}) {
        if (std::setlocale(LC_NUMERIC, name) != nullptr) break;
    }
    writeReorderSheet(plan, folder / "comma.xlsx"); // without such a locale this repeats the test above
    std::setlocale(LC_NUMERIC, before.c_str());
    CHECK(readBytes(folder / "plain.xlsx") == readBytes(folder / "comma.xlsx"));
}

TEST_CASE("Paper sizes are read by name") {
    CHECK(parsePaperSize("A4") == PaperSize::a4);
    CHECK(parsePaperSize("letter") == PaperSize::letter);
    CHECK_THROWS_AS(parsePaperSize("a5"), InputError);
}

TEST_CASE("A sheet says what it is, so that only its like is replaced without a word") {
    SmallShop small;
    const PickList list = reservedList(small);
    const TemporaryFolder folder;
    writePickListSheet({{list}}, folder / "list.xlsx");
    CHECK(sheetKindOf(folder / "list.xlsx") == "pick list");
    writePickListSheet({{list}}, folder / "list.xlsx");
    writeReorderSheet({}, folder / "reorder.xlsx");
    CHECK(sheetKindOf(folder / "reorder.xlsx") == "reorder sheet");
    const std::string before = readBytes(folder / "reorder.xlsx");
    CHECK_THROWS_WITH(writePickListSheet({{list}}, folder / "reorder.xlsx"),
                      Catch::Matchers::Contains("is no pick list of this program"));
    CHECK(readBytes(folder / "reorder.xlsx") == before);
    std::ofstream(folder / "own.xlsx") << "PK, but no workbook";
    CHECK(sheetKindOf(folder / "own.xlsx").empty());
    CHECK_THROWS_AS(writePickListSheet({{list}}, folder / "own.xlsx"), InputError);
    CHECK_THROWS_AS(writePickListSheet({{list}}, small.shop.path()), InputError);
    CHECK_THROWS_AS(writePickListSheet({{list}}, inventory::OutputTarget(small.shop.path(), true)),
                    InputError);
    CHECK(inventory::verifyStock(small.shop).good());
}

TEST_CASE("A disk that is full is told in one sentence of ours") {
    // A device that takes nothing stands for it: a sheet is whole in memory before any disk is asked.
    SmallShop small;
    const PickList list = reservedList(small);
    const TemporaryFolder folder;
    const pid_t child = ::fork();
    if (child == 0) {
        std::signal(SIGXFSZ, SIG_IGN);
        const rlimit small_files{1000, 1000};
        ::setrlimit(RLIMIT_FSIZE, &small_files);
        int code = 2;
        try {
            writePickListSheet({{list}}, folder / "list.xlsx");
        } catch (const FileFault&) {
            code = 0;
        } catch (...) {
            code = 3;
        }
        ::_exit(code);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    CHECK(WEXITSTATUS(status) == 0);
    CHECK(filesIn(folder) == 0);
}
