// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/sheet_cells.h"
#include "app/services/sheet_import/sheet_import.h"
#include "app/services/sheets/stock_template_sheet.h"
#include "sheet_files.h"
#include "small_shop.h"

#include "inventory/part_kinds.h"
#include "inventory/stock_snapshot.h"
#include "inventory/stock_verify.h"
#include "planner/units/input_error.h"

#include <catch2/catch.hpp>

#include <set>

using namespace shimledger;
using namespace shimledger::services;
using Catch::Matchers::Contains;

namespace {

/// Five lots of a small shop, in a text that each bent sheet must come to.
const std::set<std::string>& shopLots() {
    static const std::set<std::string> lots{
        "shim 24.0 x 6.0 x 0.10 new in A1: 16", "shim 24.0 x 6.0 x 0.15 new in A2: 8",
        "shim 18.0 x 6.0 x 0.10 used in A3: 4", "shim 12.5 x 6.0 x 0.30 new in B1: 1500",
        "shim 20.0 x 6.0 x 0.25 new in B2: 3"};
    return lots;
}

std::set<std::string> lotsOf(const inventory::ShopFile& shop) {
    std::set<std::string> lots;
    for (const inventory::StockLot& lot : inventory::stockSnapshot(shop).lots) {
        inventory::Part part;
        part.kind = lot.kind;
        part.od = lot.od;
        part.id = lot.id;
        part.thickness = lot.thickness;
        lots.insert(inventory::partText(part) + " " + std::string(inventory::conditionName(lot.condition)) +
                    " in " + lot.bin + ": " + std::to_string(lot.on_hand));
    }
    return lots;
}

/// What became of one file in a shop that is empty: its lots, or what was said.
struct Outcome {
    std::set<std::string> lots;
    std::string said;
    std::string told; ///< notes and lines
};

Outcome imported(const std::string& file, const std::string& bytes, const SheetAnswers& answers = {}) {
    const TemporaryFolder folder;
    writeFile(folder / file, bytes);
    inventory::ShopFile shop =
        inventory::ShopFile::create(folder.shop("shop.db"), inventory::fixedClock(small_shop_time));
    Outcome outcome;
    try {
        const SheetImport result = importSheets(shop, folder / file, answers, true);
        for (const std::string& sentence : problemSentences(result.problems)) outcome.said += sentence + "\n";
        for (const UnderstoodSheet& sheet : result.sheets) {
            for (const std::string& note : sheet.notes) outcome.told += note + "\n";
            for (const auto& [line, sentence] : sheet.lines)
                outcome.told += std::to_string(line) + ": " + sentence + "\n";
        }
    } catch (const InputError& error) {
        outcome.said = error.what();
    }
    outcome.lots = lotsOf(shop);
    CHECK(inventory::verifyStock(shop).good());
    return outcome;
}

struct Bent {
    const char* name;
    const char* file;
    std::string bytes;
};

std::string utf16(const std::string& ascii, bool high_first, bool mark) {
    std::string text = mark ? (high_first ? "\xfe\xff" : "\xff\xfe") : "";
    for (const char c : ascii) {
        if (high_first) text += '\0';
        text += c;
        if (!high_first) text += '\0';
    }
    return text;
}

const std::string plain =
    "OD,ID,Thickness,Condition,Bin,Quantity\n"
    "24,6,0.10,new,A1,16\n24,6,0.15,new,A2,8\n18,6,0.10,used,A3,4\n12.5,6,0.30,new,B1,1500\n"
    "20,6,0.25,new,B2,3\n";
const std::string semicolons = "OD;ID;Thickness;Condition;Bin;Quantity\n"
                               "24,0;6,0;0,10;new;A1;16\n24,0;6,0;0,15;new;A2;8\n18,0;6,0;0,10;used;A3;4\n"
                               "12,5;6,0;0,30;new;B1;1.500\n20,0;6,0;0,25;new;B2;3\n";

std::string replaced(std::string text, const std::string& from, const std::string& to) {
    for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size()))
        text.replace(at, from.size(), to);
    return text;
}

const Grid grid{{"OD", "ID", "Thickness", "Condition", "Bin", "Quantity"},
                {"#24", "#6", "#0.1", "new", "A1", "#16"},
                {"#24", "#6", "#0.15000000000000002", "new", "A2", "#8"},
                {"#18", "#6", "#0.1", "used", "A3", "#4"},
                {"#12.5", "#6", "#0.3", "new", "B1", "#1500"},
                {"#20", "#6", "#0.25", "new", "B2", "#3"}};

Grid with(Grid rows, const Grid& above) {
    rows.insert(rows.begin(), above.begin(), above.end());
    return rows;
}

std::vector<Bent> bentSheets() {
    return {
        {"commas", "stock.csv", plain},
        {"semicolons and decimal commas", "shop.csv", semicolons},
        {"tabs", "shop.tsv", replaced(plain, ",", "\t")},
        {"bars", "shop.txt", replaced(plain, ",", "|")},
        {"a row of units below the headings", "shop.csv",
         replaced(plain, "Quantity\n", "Quantity\n[mm],mm,mm,,,pcs\n")},
        {"a row of units below the headings, of different ones", "shop.csv",
         "OD,ID,Thickness,Condition,Bin,Quantity\ncm,mm,um,,,\n2.4,6,100,new,A1,16\n2.4,6,150,new,A2,8\n"
         "1.8,6,100,used,A3,4\n1.25,6,300,new,B1,1500\n2.0,6,250,new,B2,3\n"},
        {"what is there beside what should be", "shop.csv",
         "OD;ID;Dicke;Zustand;Fach;Soll;Ist;Zuletzt gez\xc3\xa4hlt\n24,0;6,0;0,10;neu;A1;20;16;30.11.2026\n"
         "24,0;6,0;0,15;neu;A2;20;8;\n18,0;6,0;0,10;gebr.;A3;;4;\n12,5;6,0;0,30;neu;B1;;1500;\n"
         "20,0;6,0;0,25;neu;B2;5;3;\n"},
        {"a column of values", "shop.csv",
         "OD "
         "cm,ID,Thickness,Condition,Bin,Quantity,Value\n2.4,6,0.10,new,A1,16,6.40\n2.4,6,0.15,new,A2,8,3.20\n"
         "1.8,6,0.10,used,A3,4,1.60\n1.25,6,0.30,new,B1,1500,600\n2.0,6,0.25,new,B2,3,1.20\n"},
        {"signs of diameters, in and out", "shop.csv",
         replaced(plain, "OD,ID,Thickness,Condition,Bin,Quantity",
                  "\xc3\x98 out,\xc3\x98 in,t,Condition,Bin,Qty")},
        {"a column of new ones and one of used ones", "shop.csv",
         "OD,ID,Thickness,Bin,New,Used\n24,6,0.10,A1,16,\n24,6,0.15,A2,8,\n18,6,0.10,A3,,4\n12.5,6,0.30,B1,"
         "1500,\n"
         "20,6,0.25,B2,3,\n"},
        {"the same in other words, from a workbook", "shop.xlsx",
         xlsxFile({{"S",
                    {{"OD", "ID", "t", "Fach", "Anzahl neu", "gebraucht (Stk)"},
                     {"#24", "#6", "#0.1", "A1", "#16", ""},
                     {"#24", "#6", "#0.15", "A2", "#8", ""},
                     {"#18", "#6", "#0.1", "A3", "", "#4"},
                     {"#12.5", "#6", "#0.3", "B1", "#1500", ""},
                     {"#20", "#6", "#0.25", "B2", "#3", ""}}}})},
        {"conditions in other languages", "shop.csv",
         replaced(replaced(semicolons, "used", "d'occasion"), ";new;", ";Neue;")},
        {"a mark of UTF-8", "shop.csv", "\xef\xbb\xbf" + semicolons},
        {"UTF-16, low byte first", "shop.csv", utf16(semicolons, false, true)},
        {"UTF-16, high byte first", "shop.csv", utf16(plain, true, true)},
        {"UTF-16 without a mark", "shop.csv", utf16(plain, false, false)},
        {"ends of lines of other systems", "shop.csv", replaced(plain, "\n", "\r\n")},
        {"lone carriage returns", "shop.csv", replaced(plain, "\n", "\r")},
        {"the first line says the delimiter", "shop.csv", "sep=;\n" + semicolons},
        {"capital headings", "shop.csv",
         replaced(plain, "OD,ID,Thickness,Condition,Bin,Quantity", "OD,ID,THICKNESS,CONDITION,BIN,QUANTITY")},
        {"headings with units", "shop.csv",
         replaced(plain, "OD,ID,Thickness,Condition,Bin,Quantity",
                  "OD [mm],ID (mm),Thickness mm,Condition,Bin,Qty (pcs)")},
        {"the columns of the exchange format in capitals", "stock.csv",
         replaced(plain, "OD,ID,Thickness,Condition,Bin,Quantity",
                  "OD_MM,ID_MM,THICKNESS_MM,CONDITION,BIN,QUANTITY")},
        {"other words", "shop.csv",
         replaced(plain, "OD,ID,Thickness,Condition,Bin,Quantity",
                  "Outer dia.,Bore,Thk,New/used,Drawer,On hand")},
        {"German headings in Windows-1252", "lager.csv",
         replaced(semicolons, "OD;ID;Thickness;Condition;Bin;Quantity",
                  "Au\xdf"
                  "en-\xd8;Innen-\xd8;St\xe4rke;Zustand;Fach;St\xfc"
                  "ck")},
        {"German headings in UTF-8, German conditions", "lager.csv",
         replaced(replaced(replaced(semicolons, "OD;ID;Thickness;Condition;Bin;Quantity",
                                    "Außendurchmesser;Innendurchmesser;Dicke;Zustand;Schublade;Anzahl"),
                           ";new;", ";neu;"),
                  ";used;", ";gebraucht;")},
        {"French headings", "stock.csv",
         replaced(semicolons, "OD;ID;Thickness;Condition;Bin;Quantity",
                  "Diamètre;Alésage;Épaisseur;État;Tiroir;Quantité")},
        {"another order of columns", "shop.csv",
         "Qty,Bin,Thickness,ID,OD,Condition\n16,A1,0.10,6,24,new\n8,A2,0.15,6,24,new\n4,A3,0.10,6,18,used\n"
         "1500,B1,0.30,6,12.5,new\n3,B2,0.25,6,20,new\n"},
        {"numbers of pieces with decimals", "shop.csv",
         replaced(replaced(plain, ",16\n", ",16.0\n"), ",8\n", ",8.0\n")},
        {"units in the cells", "shop.csv",
         "OD,ID,Thickness,Condition,Bin,Quantity\n24 mm,6mm,0.10 mm,new,A1,16 pcs\n24 mm,6mm,0.15mm,new,A2,8 "
         "pcs\n"
         "18 mm,6mm,0.10 mm,used,A3,4 pcs\n12.5 mm,6mm,0.30,new,B1,1500\n20,6,0.25,new,B2,3\n"},
        {"sizes in one cell", "shop.csv",
         "Size,Condition,Drawer,Qty\n24x6x0.10,new,A1,16\n24 x 6 x 0.15,new,A2,8\n18*6*0.1,used,A3,4\n"
         "12.5 X 6 X 0.30 mm,new,B1,1500\n20\xc3\x97"
         "6\xc3\x97"
         "0.25,new,B2,3\n"},
        {"OD and thickness in one cell, the bore beside it", "shop.csv",
         "Shim;Bore;Condition;Drawer;Qty\n24x0,1;6;new;A1;16\n24x0,15;6;new;A2;8\n18x0,1;6;used;A3;4\n"
         "12,5x0,3;6;new;B1;1500\n20x0,25;6;new;B2;3\n"},
        {"OD and bore in one cell, the thickness beside it", "shop.csv",
         "Size,Thickness,Condition,Drawer,Qty\n24x6,0.10,new,A1,16\n24x6,0.15,new,A2,8\n18x6,0.10,used,A3,4\n"
         "12.5x6,0.30,new,B1,1500\n20x6,0.25,new,B2,3\n"},
        {"sizes with the kind before them under another heading", "shop.csv",
         "Description,Condition,Drawer,Qty\nShim 24x6x0.10,new,A1,16\nshim 24x6x0.15,new,A2,8\nShim "
         "18x6x0.1,used,A3,4\n"
         "Shim 12.5x6x0.3,new,B1,1500\nShim 20x6x0.25,new,B2,3\n"},
        {"a heading that shows how sizes are written", "shop.csv",
         "OD x ID x t,Condition,Drawer,Qty\n24x6x0.10,new,A1,16\n24x6x0.15,new,A2,8\n18x6x0.1,used,A3,4\n"
         "12.5x6x0.3,new,B1,1500\n20x6x0.25,new,B2,3\n"},
        {"title rows", "shop.csv", "Shim drawers of the shop\ncounted in March,,,,,\n\n" + plain},
        {"an extra column", "shop.csv",
         replaced(replaced(plain, "Quantity\n", "Quantity,Colour of the box\n"), "new,A1,16\n",
                  "new,A1,16,blue\n")},
        {"blank lines and lines of empty cells", "shop.csv", replaced(plain, "18,", "\n,,,,,\n18,") + "\n\n"},
        {"a row of totals", "shop.csv", plain + "Total,,,,,1531\n"},
        {"a total without a word", "shop.csv", plain + ",,,,,1531\n"},
        {"headings once more in the middle", "shop.csv",
         replaced(plain, "18,6", "OD,ID,Thickness,Condition,Bin,Quantity\n18,6")},
        {"every cell in quotes", "shop.csv",
         "\"" + replaced(replaced(plain.substr(0, plain.size() - 1), ",", "\",\""), "\n", "\"\n\"") + "\"\n"},
        {"decimal commas in quotes between commas", "shop.csv",
         replaced(
             replaced(replaced(replaced(plain, "0.10", "\"0,10\""), "0.15", "\"0,15\""), "0.30", "\"0,30\""),
             "0.25", "\"0,25\"")},
        {"a mark of thousands", "shop.csv", replaced(plain, "1500", "\"1,500\"")},
        {"a blank as mark of thousands", "shop.csv", replaced(plain, "1500", "1 500")},
        {"blanks around everything", "shop.csv", replaced(plain, ",", " , ")},
        {"a note below the table", "shop.csv", plain + "counted by two people\n"},
        {"conditions under a heading nobody knows", "shop.csv", replaced(plain, "Condition", "N/U")},
        {"letters for the conditions", "shop.csv",
         replaced(replaced(plain, ",new,", ",N,"), ",used,", ",U,")},
        {"a column that says the kind", "shop.csv",
         "Type,OD,ID,Thickness,Condition,Bin,Quantity\nShim,24,6,0.10,new,A1,16\nshims,24,6,0.15,new,A2,8\n"
         "Disc,18,6,0.10,used,A3,4\nSHIM,12.5,6,0.30,new,B1,1500\nshim,20,6,0.25,new,B2,3\n"},
        {"micrometres", "shop.csv",
         "OD,ID,Thickness "
         "(µm),Condition,Bin,Quantity\n24,6,100,new,A1,16\n24,6,150,new,A2,8\n18,6,100,used,A3,4\n"
         "12.5,6,300,new,B1,1500\n20,6,250,new,B2,3\n"},
        {"a workbook", "shop.xlsx", xlsxFile({{"Stock", grid}})},
        {"a workbook that names its sheets from the root", "shop.xlsx", xlsxFile({{"Stock", grid}}, true)},
        {"a workbook with title rows, notes and a hidden sheet", "shop.xlsx",
         xlsxFile({{"Stock", with(grid, {{"My drawers"}, {}})},
                   {"Notes", {{"call the supplier"}}},
                   {"Old", grid, "hidden"}})},
        {"a workbook with numbers as text", "shop.xlsx",
         xlsxFile({{"Stock",
                    {{"Size", "Condition", "Bin", "Qty"},
                     {"24x6x0,10", "new", "A1", "16"},
                     {"24x6x0,15", "new", "A2", "8"},
                     {"18x6x0,10", "used", "A3", "4"},
                     {"12,5x6x0,30", "new", "B1", "1500"},
                     {"20x6x0,25", "new", "B2", "3"}}}})},
        {"a workbook with merged cells", "shop.xlsx",
         xlsxFile({{"Stock",
                    {{"Condition", "OD", "ID", "Thickness", "Bin", "Quantity"},
                     {"new", "#24", "#6", "#0.1", "A1", "#16"},
                     {"", "#24", "#6", "#0.15", "A2", "#8"},
                     {"", "#12.5", "#6", "#0.3", "B1", "#1500"},
                     {"", "#20", "#6", "#0.25", "B2", "#3"},
                     {"used", "#18", "#6", "#0.1", "A3", "#4"}},
                    "",
                    "A2:A5"}})},
        {"an OpenDocument sheet", "shop.ods", odsFile("Stock", grid)},
        {"a workbook under the name of a CSV", "stock.csv", xlsxFile({{"Stock", grid}})},
    };
}

} // namespace

TEST_CASE("sheets bent as people bend them go in at the first try, with the right numbers") {
    const std::vector<Bent> sheets = bentSheets();
    CHECK(sheets.size() >= 40);
    for (const Bent& bent : sheets) {
        INFO(bent.name);
        const Outcome outcome = imported(bent.file, bent.bytes);
        CHECK(outcome.said.empty());
        INFO(outcome.said);
        CHECK(outcome.lots == shopLots());
    }
}

TEST_CASE("what a sheet does not tell for sure is one clear question, and nothing goes in") {
    struct Question {
        const char* name;
        const char* file;
        std::string bytes;
        std::string said;
    };
    const std::vector<Question> questions{
        {"no headings", "shop.csv", "24,6,0.10,A1,16\n", "no line names the columns"},
        {"two columns of pieces", "shop.csv", "Size,Bin,Qty,Count\n24x6x0.1,A1,16,15\n", "both the quantity"},
        {"a slip in a heading that matters", "shop.csv",
         "Size,Bin,Qty,Conditon\n24x6x0.1,A1,16,refurbished\n", "'Conditon' the condition?"},
        {"no bore", "shop.csv", "OD,Thickness,Bin,Qty\n24,0.1,A1,16\n18,0.1,A2,3\n", "--set id_mm=6"},
        {"no drawer", "shop.csv", "Size,Qty\n24x6x0.1,16\n", "no column says the drawer"},
        {"a drawer left empty", "shop.csv", "Size,Bin,Qty\n24x6x0.1,,16\n", "in which drawer"},
        {"a decimal comma between commas", "shop.csv", "OD,ID,Thickness,Bin,Qty\n24,6,0,1,A1,16\n",
         "more cells than"},
        {"a price that may be two", "shop.csv",
         "Size;Bin;Qty;Price;Pack;Supplier;Lead time;Currency\n24x6x1;A1;16;1,500;10;Discs;7;EUR\n",
         "can be 1500 or 1.500"},
        {"pieces that may be two numbers", "shop.csv", "OD;ID;Thickness;Bin;Qty\n24;6;1;A1;12.000\n",
         "can be 12.000 or 12000"},
        {"half a piece", "shop.csv", "Size,Bin,Qty\n24x6x0.1,A1,1.5\n", "no whole number"},
        {"about eight", "shop.csv", "Size,Bin,Qty\n24x6x0.1,A1,~8\n", "'~8' is no whole number"},
        {"a shim as thick as a nut", "shop.csv", "Size,Bin,Qty\n24x6x5,A1,8\n", "no likely thickness"},
        {"a diameter of metres", "shop.csv", "OD,ID,Thickness,Bin,Qty\n9999,6,0.1,A1,8\n",
         "no likely outer diameter"},
        {"inches that nobody marked", "shop.csv", "OD,ID,Thickness,Bin,Qty\n0.945,0.236,0.004,A1,8\n",
         "--unit in"},
        {"inches with too many decimals for millimetres", "shop.csv",
         "OD,ID,Thickness,Bin,Qty\n24,6,0.0039,A1,8\n", "--unit in"},
        {"new and used ones in a column each, one of which is said to be all", "shop.csv",
         "Size,Bin,New,Used\n24x6x0.1,A1,x,3\n", "'x' is no whole number"},
        {"a reading of another shim", "shop.csv", "Size,Measured,Bin,Qty\n24x6x0.1,0.16,A1,8\n",
         "far from the nominal"},
        {"the count first", "shop.csv", "Size,Bin,Qty\n4 x 24 x 0.1,A1,8\n", "OD x ID x thickness"},
        {"the same lot twice", "shop.csv", "Size,Bin,Qty\n24x6x0.1,A1,8\n18x6x0.1,A2,8\n24x6x0.1,A1,5\n",
         "in line 2 already"},
        {"drawers in capitals and not", "shop.csv", "Size,Bin,Qty\n24x6x0.1,A1,8\n18x6x0.1,a1,8\n",
         "capitals only"},
        {"drawers numbered anew in each cabinet", "shop.csv",
         "Size,Cabinet,Drawer,Qty\n24x6x0.1,A,1,8\n18x6x0.1,B,1,8\n", "such as 'B1'"},
        {"two drawers in one cell", "shop.csv", "Size,Bin,Qty\n24x6x0.1,\"A1, A2\",8\n", "several drawers"},
        {"used ones under a heading of their own", "shop.csv",
         "Size,Bin,Qty\n24x6x0.1,A1,8\nUsed ones,,\n18x6x0.1,A2,8\n", "stands alone in its line"},
        {"a drawer that became a day", "shop.xlsx",
         xlsxFile({{"S", {{"Size", "Bin", "Qty"}, {"24x6x0.1", "@46054", "#8"}}}}), "holds a day"},
        {"a formula that was never computed", "shop.xlsx",
         xlsxFile({{"S", {{"Size", "Bin", "Qty"}, {"24x6x0.1", "A1", "=F"}}}}), "never computed"},
        {"one count merged over two lines", "shop.xlsx",
         xlsxFile({{"S",
                    {{"Size", "Bin", "Qty"}, {"24x6x0.1", "A1", "#8"}, {"18x6x0.1", "A2", ""}},
                    "",
                    "C2:C3"}}),
         "merged"},
        {"an old workbook", "shop.xls", "\xd0\xcf\x11\xe0 and so on", "old kind"},
        {"a workbook that is cut off", "shop.xlsx", xlsxFile({{"S", grid}}).substr(0, 900),
         "cut off or damaged"},
        {"nothing", "shop.csv", "", "is empty"},
    };
    for (const Question& question : questions) {
        INFO(question.name);
        const Outcome outcome = imported(question.file, question.bytes);
        CHECK_THAT(outcome.said, Contains(question.said));
        CHECK(std::count(outcome.said.begin(), outcome.said.end(), '\n') <= 1);
        CHECK(outcome.lots.empty());
    }
}

TEST_CASE("an answer settles what a sheet left open") {
    SheetAnswers answers;
    answers.values = {{"id_mm", "6"}, {"bin", "A1"}};
    CHECK(imported("shop.csv", "OD,Thickness,Qty\n24,0.1,16\n", answers).lots ==
          std::set<std::string>{"shim 24.0 x 6.0 x 0.10 new in A1: 16"});
    answers = {};
    answers.columns = {columnAnswer("#1=od_mm"), columnAnswer("#2=id_mm"), columnAnswer("#3=thickness"),
                       columnAnswer("#4=bin"), columnAnswer("#5=quantity")};
    CHECK(imported("shop.csv", "24,6,0.10,A1,16\n", answers).lots ==
          std::set<std::string>{"shim 24.0 x 6.0 x 0.10 new in A1: 16"});
    answers = {};
    answers.columns = {columnAnswer("Count=ignore")};
    CHECK(imported("shop.csv", "Size,Bin,Qty,Count\n24x6x0.1,A1,16,15\n", answers).lots ==
          std::set<std::string>{"shim 24.0 x 6.0 x 0.10 new in A1: 16"});
    answers = {};
    answers.decimal = DecimalSign::point;
    CHECK(imported("shop.csv", "OD;ID;Thickness;Bin;Qty\n24;6;1;A1;12.000\n", answers).lots ==
          std::set<std::string>{"shim 24.0 x 6.0 x 1.00 new in A1: 12"});
    answers = {};
    answers.unit = "in";
    CHECK(imported("shop.csv", "OD,ID,Thickness,Bin,Qty\n0.945,0.236,0.004,A1,8\n", answers).lots ==
          std::set<std::string>{"shim 24.003 x 5.994 x 0.102 new in A1: 8"});
    answers = {};
    answers.sizes_are_meant = true;
    CHECK(imported("shop.csv", "Size,Bin,Qty\n24x6x5,A1,8\n", answers).lots ==
          std::set<std::string>{"shim 24.0 x 6.0 x 5.00 new in A1: 8"});
}

TEST_CASE("a bore that is said beside a sheet of inches is in mm, as its name says") {
    SheetAnswers answers;
    answers.unit = "in";
    answers.values = {{"id_mm", "6"}};
    const Outcome outcome = imported("shop.csv", "OD,Thickness,Bin,Qty\n0.9449,0.0039,A1,8\n", answers);
    CHECK(outcome.said.empty());
    CHECK(outcome.lots == std::set<std::string>{"shim 24.0 x 6.0 x 0.099 new in A1: 8"});
}

TEST_CASE("marked inches are read, and it is told that they were rounded") {
    for (const char* bytes : {"OD,ID,Thickness,Bin,Qty\n0.945\",0.236\",0.004\",A1,8\n",
                              "OD (in),ID (in),Thickness (in),Bin,Qty\n0.945,0.236,0.004,A1,8\n",
                              "All sizes in inches\nOD,ID,Thickness,Bin,Qty\n0.945,0.236,0.004,A1,8\n",
                              "Size,Bin,Qty\n0.945\" x 0.236\" x 0.004\",A1,8\n"}) {
        INFO(bytes);
        const Outcome outcome = imported("shop.csv", bytes);
        CHECK(outcome.said.empty());
        CHECK(outcome.lots == std::set<std::string>{"shim 24.003 x 5.994 x 0.102 new in A1: 8"});
        CHECK_THAT(outcome.told, Contains("rounded to the micrometre"));
    }
}

TEST_CASE("a hundred lines with one kind of fault are one sentence") {
    std::string bytes = "Size,Bin,Qty\n";
    for (int i = 0; i < 100; ++i) bytes += "24x6x0.1,A" + std::to_string(i) + ",some\n";
    const Outcome outcome = imported("shop.csv", bytes);
    CHECK(std::count(outcome.said.begin(), outcome.said.end(), '\n') == 1);
    CHECK_THAT(outcome.said, Contains("line 2, column 3 (Qty)") && Contains("99 more lines"));
    CHECK(outcome.lots.empty());
}

TEST_CASE("parts of other kinds, reorder points, suppliers and prices come with one flat sheet") {
    const TemporaryFolder folder;
    writeFile(folder / "all.csv",
              "Kind;Size;Bin;Qty;Reorder point;Supplier;Pack;Price;Lead time;Currency;Note\n"
              "shim;24x6x0,1;A1;16;10;Invented Discs;10;12,50;7;EUR;spring steel\n"
              "oil seal;35x48x11;B1;4;2;Invented Seals;2;9,80;3;EUR;\n"
              "O-ring;18,64x3,53;B2;12;;;;;;;\n"
              "bushing;47x50x20;B3;2;;;;;;;\n"
              "washer;30x40x1;B4;2;;;;;;;\n");
    inventory::ShopFile shop = inventory::ShopFile::create(folder.shop("shop.db"));
    const SheetImport result = importSheets(shop, folder / "all.csv", {}, true);
    for (const std::string& sentence : problemSentences(result.problems)) UNSCOPED_INFO(sentence);
    REQUIRE(result.good());
    const inventory::PartCatalogue catalogue(shop);
    CHECK(catalogue.list().size() == 5);
    CHECK(catalogue.get("SH-24.0-6-0.10").reorder_point == 10);
    CHECK(catalogue.get("SH-24.0-6-0.10").note == "spring steel");
    CHECK(catalogue.get("OR-18.64-3.53").section == mm("3.53"));
    const auto offers = inventory::SupplierList(shop).offers();
    REQUIRE(offers.size() == 2);
    CHECK(offers[0].pack_price == 1250);
    CHECK(offers[0].pack_size == 10);
    CHECK(inventory::BinList(shop).list().size() == 5);
}

TEST_CASE("a preview says what each line would do, and changes nothing") {
    const TemporaryFolder folder;
    writeFile(folder / "shop.csv", "Size,Bin,Qty\n24x6x0.1,A1,8\nTotal,,8\n");
    inventory::ShopFile shop = inventory::ShopFile::create(folder.shop("shop.db"));
    const SheetImport result = importSheets(shop, folder / "shop.csv", {}, false);
    REQUIRE(result.good());
    REQUIRE(result.sheets.size() == 1);
    REQUIRE(result.sheets[0].lines.size() == 2);
    CHECK_THAT(result.sheets[0].lines[0].second, Contains("8 new of shim 24.0 x 6.0 x 0.10 in A1") &&
                                                     Contains("new part") && Contains("new bin"));
    CHECK_THAT(result.sheets[0].lines[1].second, Contains("passed over"));
    CHECK_THAT(columnSentences(result.sheets[0])[2], Contains("'Qty': quantity"));
    CHECK(inventory::PartCatalogue(shop).list().empty());
    CHECK(inventory::BinList(shop).list().empty());
}

TEST_CASE("a sheet names what the shop has already, and lots that hold stock are not counted twice") {
    SmallShop small;
    writeFile(small.folder / "shop.csv", "Shim,Bin,Qty\n18x0.15,b1,5\n");
    CHECK(importSheets(small.shop, small.folder / "shop.csv", {}, true)
              .good()); // the one bore that the catalogue has
    CHECK(lotsOf(small.shop).contains("shim 18.0 x 6.0 x 0.15 new in B1: 5"));
    const SheetImport again = importSheets(small.shop, small.folder / "shop.csv", {}, true);
    REQUIRE(again.problems.size() == 1);
    CHECK_THAT(again.problems[0].text(), Contains("line 2, column 2 (Bin)") && Contains("already"));
}

TEST_CASE("the template comes back as it went out, and filled in it makes the drawers") {
    const TemporaryFolder folder;
    writeStockTemplate(small_shop_time, (folder / "template.xlsx").string());
    CHECK_THAT(imported("template.xlsx", readBytes(folder / "template.xlsx")).said,
               Contains("no line below"));
    const std::vector<RawSheet> sheets = readRawSheets(folder / "template.xlsx");
    REQUIRE(sheets.size() == 1);
    Grid rows;
    for (const RawRow& row : sheets[0].rows) {
        rows.resize(static_cast<std::size_t>(row.line));
        for (const RawCell& cell : row.cells) rows.back().push_back(cell.text);
    }
    rows.push_back({"shim", "#24", "#6", "#0.1", "", "", "used", "A01", "A", "#16", "#8", "", ""});
    rows.push_back({"o_ring", "", "#18.64", "", "#3.53", "", "", "B01", "B", "#4", "", "", ""});
    const Outcome outcome = imported("filled.xlsx", xlsxFile({{sheets[0].name, rows}}));
    CHECK(outcome.said.empty());
    CHECK(outcome.lots.size() == 2);
    CHECK(outcome.lots.contains("shim 24.0 x 6.0 x 0.10 used in A01: 16"));
}

TEST_CASE("a column of the shop's own codes is codes, though they look like sizes") {
    for (const char* heading : {"part", "Code", "Part no."}) {
        SmallShop small;
        inventory::Part part;
        part.kind = inventory::PartKind::shim;
        part.od = Length::fromMicrometres(24000);
        part.id = Length::fromMicrometres(6000);
        part.thickness = Length::fromMicrometres(110);
        part.code = "SH-24.0-6-0.11";
        part.description = "a face disc";
        inventory::PartCatalogue(small.shop).add(part);
        writeFile(small.folder / "codes.csv", std::string(heading) + ",bin,quantity\nSH-24.0-6-0.11,b1,3\n");
        const SheetImport in = importSheets(small.shop, small.folder / "codes.csv", {}, true);
        INFO(heading << (in.problems.empty() ? "" : in.problems[0].text()));
        REQUIRE(in.good());
        CHECK(lotsOf(small.shop).contains("shim 24.0 x 6.0 x 0.11 new in B1: 3"));
        writeFile(small.folder / "bad.csv", std::string(heading) + ",bin,quantity\nSH-24.0-6-0.11,b2,-3\n");
        const SheetImport bad = importSheets(small.shop, small.folder / "bad.csv", {}, true);
        REQUIRE(bad.problems.size() == 1);
        CHECK_THAT(bad.problems[0].text(), Contains("(quantity)") && Contains("-3"));
    }
}
