// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/sheet_cells.h"
#include "app/services/sheet_import/sheet_fields.h"
#include "app/services/sheet_import/sheet_import.h"
#include "sheet_files.h"
#include "small_shop.h"

#include "inventory/csv_export.h"
#include "inventory/csv_guard.h"
#include "inventory/csv_reader.h"
#include "inventory/stock_verify.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <random>
#include <set>
#include <sstream>

using namespace shimledger;
using namespace shimledger::services;

namespace {

Grid gridOf(const std::string& csv) {
    std::istringstream in(csv);
    inventory::CsvReader reader(in);
    inventory::CsvRecord record;
    Grid grid;
    while (reader.next(record)) grid.push_back(record.cells);
    return grid;
}

/// One way in which a person's sheet differs from an export. Drawn anew for every file.
class Bend {
public:
    explicit Bend(std::mt19937& random) : m_random(random) {}

    bool one(int in) { return static_cast<int>(m_random() % static_cast<unsigned>(in)) == 0; }

    /// The file's bytes and its name's ending.
    std::pair<std::string, std::string> apply(Grid grid, const std::string& table) {
        shuffle(grid);
        if (one(3)) addColumn(grid);
        const std::size_t kind = m_random() % 4; // two of four are text
        const bool workbook = kind < 2;
        m_comma = !workbook && one(2);
        Grid bent;
        bent.emplace_back();
        for (const std::string& heading : grid[0]) bent[0].push_back(headingOf(heading));
        for (std::size_t row = 1; row < grid.size(); ++row) {
            std::vector<std::string> cells;
            for (std::size_t i = 0; i < grid[row].size(); ++i)
                cells.push_back(cellOf(grid[0][i], grid[row][i], workbook));
            bent.push_back(cells);
        }
        if (one(3)) bent.insert(bent.begin(), std::vector<std::string>{"Out of the shop, " + table});
        if (kind == 0) return {xlsxFile({{table, bent}}, one(2)), ".xlsx"};
        if (kind == 1) return {odsFile(table, bent), ".ods"};
        return {text(bent), one(3) ? ".tsv" : ".csv"};
    }

private:
    void shuffle(Grid& grid) {
        std::vector<std::size_t> order(grid[0].size());
        for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
        if (one(2)) std::shuffle(order.begin(), order.end(), m_random);
        for (auto& row : grid) {
            std::vector<std::string> cells;
            for (const std::size_t i : order) cells.push_back(row[i]);
            row = cells;
        }
    }

    void addColumn(Grid& grid) {
        grid[0].emplace_back("Paint");
        for (std::size_t row = 1; row < grid.size(); ++row) grid[row].emplace_back(one(2) ? "blue" : "");
    }

    std::string headingOf(const std::string& name) {
        std::string heading = name;
        switch (m_random() % 4) {
        case 0:
            for (char& c : heading) c = static_cast<char>(std::toupper(c));
            return heading;
        case 1:
            std::replace(heading.begin(), heading.end(), '_', ' ');
            heading[0] = static_cast<char>(std::toupper(heading[0]));
            return heading;
        case 2:
            return heading.ends_with("_mm") ? heading.substr(0, heading.size() - 3) + " [mm]" : heading;
        default:
            return heading;
        }
    }

    std::string cellOf(const std::string& column, const std::string& cell, bool workbook) {
        const SheetField* field = sheetField(column);
        if (field == nullptr || cell.empty()) return cell;
        const FieldContent content = field->content;
        const bool whole = content == FieldContent::whole;
        const bool number = whole || content == FieldContent::length || content == FieldContent::money ||
                            content == FieldContent::decimal;
        if (!number) {
            const bool other_case = content == FieldContent::condition && one(3);
            return std::string(workbook ? "'" : "") + (!other_case ? cell : cell == "new" ? "New" : "USED");
        }
        if (workbook) return one(4) ? cell : "#" + cell;
        std::string bent = whole && one(4) ? cell + ".0" : cell;
        if (content == FieldContent::length && one(6)) bent += " mm";
        if (m_comma) std::replace(bent.begin(), bent.end(), '.', ',');
        return bent;
    }

    std::string text(const Grid& grid) {
        const char delimiter = ",;\t|"[m_random() % 4];
        const std::string end = one(2) ? "\r\n" : "\n";
        const bool all_quoted = one(4);
        std::string text;
        for (const auto& row : grid) {
            if (one(8)) text += end;
            for (std::size_t i = 0; i < row.size(); ++i) {
                std::string cell = inventory::needsGuard(row[i]) ? "'" + row[i] : row[i];
                if (i > 0) text += delimiter;
                if (all_quoted ||
                    cell.find_first_of(std::string("\"\r\n") + delimiter) != std::string::npos) {
                    for (std::size_t at = cell.find('"'); at != std::string::npos;
                         at = cell.find('"', at + 2))
                        cell.insert(at, 1, '"');
                    cell = "\"" + cell + "\"";
                }
                text += cell;
            }
            text += end;
        }
        const bool ascii =
            std::all_of(text.begin(), text.end(), [](char c) { return static_cast<signed char>(c) > 0; });
        switch (m_random() % 4) {
        case 0:
            return "\xef\xbb\xbf" + text;
        case 1: {
            if (!ascii) return text;
            std::string wide = "\xff\xfe";
            for (const char c : text) (wide += c) += '\0';
            return wide;
        }
        default:
            return text;
        }
    }

    std::mt19937& m_random;
    bool m_comma = false;
};

/// Something of many tables, with texts that look like numbers, totals and formulas.
void live(SmallShop& small) {
    inventory::Part odd;
    odd.code = "12,5";
    odd.kind = inventory::PartKind::other;
    odd.description = "Total care kit; \"boxed\"";
    odd.od = mm("1.5");
    odd.reorder_point = 1500;
    odd.note = "=1+1";
    inventory::PartCatalogue(small.shop).add(odd);
    inventory::BinList(small.shop).add({"1-2", "Total", 1000, "two, three"});
    inventory::MovementLine receipt;
    receipt.kind = inventory::MovementKind::receipt;
    receipt.part = "12,5";
    receipt.bin = "1-2";
    receipt.quantity = 1234;
    small.ledger.post({receipt});
    small.ledger.reserve("J1", {{shimCode("24", "0.12"), "A2", inventory::Condition::fresh, 3}});
    inventory::addReading(small.shop, {shimCode("24", "0.12"), "A2", inventory::Condition::fresh, mm("0.118"),
                                       small_shop_time});
}

} // namespace

TEST_CASE("any shop that we export, bent by random dialects, comes back the same") {
    SmallShop small;
    live(small);
    inventory::exportShopFolder(small.shop, small.folder / "out");
    constexpr unsigned rounds = 40;
    for (unsigned seed = 1; seed <= rounds; ++seed) {
        INFO("seed " << seed);
        std::mt19937 random(seed);
        const TemporaryFolder folder;
        std::filesystem::create_directory(folder / "bent");
        std::string files;
        for (const auto& entry : std::filesystem::directory_iterator(small.folder / "out")) {
            const std::string stem = entry.path().stem().string();
            const auto [bytes, ending] = Bend(random).apply(gridOf(readBytes(entry.path())), stem);
            writeFile(folder / "bent" / (stem + ending), bytes);
            files += stem + ending + " ";
        }
        INFO(files);
        inventory::ShopFile copy =
            inventory::ShopFile::create(folder.shop("copy.db"), inventory::fixedClock(small_shop_time));
        std::string said;
        try {
            const SheetImport result = importSheets(copy, folder / "bent", {}, true);
            for (const std::string& sentence : problemSentences(result.problems)) said += sentence + "\n";
        } catch (const InputError& error) {
            said = error.what();
        }
        CHECK(said.empty());
        INFO(said);
        REQUIRE(inventory::verifyStock(copy).good());
        inventory::exportShopFolder(copy, folder / "again");
        for (const auto& entry : std::filesystem::directory_iterator(small.folder / "out")) {
            INFO(entry.path().filename().string());
            REQUIRE(readBytes(folder / "again" / entry.path().filename().string()) ==
                    readBytes(entry.path()));
        }
    }
}

TEST_CASE("the list of drawers that we export, bent by random dialects, makes the same drawers") {
    SmallShop small;
    std::ostringstream out;
    inventory::writeStockCsv(small.shop, out);
    Grid drawers = gridOf(out.str()); // a list of drawers does not say the height of a seal
    std::erase_if(drawers, [](const auto& row) { return row[0] == "oil_seal"; });
    constexpr unsigned rounds = 60;
    for (unsigned seed = 1; seed <= rounds; ++seed) {
        INFO("seed " << seed);
        std::mt19937 random(seed);
        const TemporaryFolder folder;
        const auto [bytes, ending] = Bend(random).apply(drawers, "stock");
        writeFile(folder / ("drawers" + ending), bytes);
        inventory::ShopFile copy =
            inventory::ShopFile::create(folder.shop("copy.db"), inventory::fixedClock(small_shop_time));
        std::string said;
        try {
            const SheetImport result = importSheets(copy, folder / ("drawers" + ending), {}, true);
            for (const std::string& sentence : problemSentences(result.problems)) said += sentence + "\n";
        } catch (const InputError& error) {
            said = error.what();
        }
        INFO(said);
        std::ostringstream again;
        inventory::writeStockCsv(copy, again);
        std::multiset<std::string> before, after; // the walk from drawer to drawer is another one
        for (const auto& row : drawers)
            before.insert(row[0] + row[1] + row[2] + row[3] + row[5] + row[6] + row[7] + row[8]);
        for (const auto& row : gridOf(again.str()))
            after.insert(row[0] + row[1] + row[2] + row[3] + row[5] + row[6] + row[7] + row[8]);
        REQUIRE(before == after);
    }
}

TEST_CASE("every column of the exchange format is a field of sheets") {
    for (const inventory::ExchangeTable& table : inventory::exchangeTables()) {
        for (const std::string& column : table.columns) {
            INFO(table.file << " " << column);
            CHECK(sheetField(column) != nullptr);
        }
    }
}
