// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/sheet_import.h"

#include "inventory/csv_reader.h"
#include "inventory/input_file.h"
#include "planner/units/input_error.h"
#include "planner/units/small_letters.h"

#include <algorithm>
#include <map>
#include <set>

namespace shimledger::services {

namespace {

namespace fs = std::filesystem;
using inventory::ExchangeTable;
using inventory::ImportProblem;
using inventory::TableInput;

const ExchangeTable* tableCalled(const std::vector<ExchangeTable>& tables, const std::string& stem) {
    std::string name = inSmallLetters(stem);
    std::replace(name.begin(), name.end(), ' ', '_');
    for (const ExchangeTable& table : tables) {
        if (table.file == name + ".csv") return &table;
    }
    return nullptr;
}

bool isSheetFile(const fs::path& path) {
    static const std::set<std::string> endings{".csv", ".tsv", ".txt", ".xlsx", ".xlsm", ".ods"};
    return endings.contains(inSmallLetters(path.extension().string()));
}

/// A file of the exchange format: its name is a table's, its first line that table's columns.
bool isExchangeFile(const fs::path& path, const std::vector<ExchangeTable>& tables) {
    const ExchangeTable* table = nullptr;
    for (const ExchangeTable& known : tables) {
        if (path.filename() == known.file) table = &known;
    }
    if (table == nullptr) return false;
    inventory::InputFile in(path);
    inventory::CsvReader reader(in.stream());
    inventory::CsvRecord record;
    if (!reader.next(record) || !record.fault.empty()) return false;
    std::set<std::string> seen;
    for (const std::string& cell : record.cells) {
        if (std::find(table->columns.begin(), table->columns.end(), cell) == table->columns.end())
            return false;
        if (!seen.insert(cell).second) return false;
    }
    for (std::size_t i = 0; i < table->columns.size(); ++i) {
        if (table->needed[i] && !seen.contains(table->columns[i])) return false;
    }
    return true;
}

/// Thrown to roll a preview, or an import with problems, back.
struct RollBack {};

class Importer {
public:
    Importer(inventory::ShopFile& shop, const SheetAnswers& answers, bool keep)
        : m_shop(shop), m_answers(answers), m_keep(keep), m_tables(inventory::exchangeTables()) {}

    SheetImport file(const fs::path& path) {
        if (isExchangeFile(path, m_tables)) return exchangeFile(path);
        collect(path);
        return run();
    }

    SheetImport folder(const fs::path& folder) {
        std::map<std::string, fs::path> file_of_table; // the exact name goes before all others
        std::set<fs::path> others;
        for (const auto& entry : fs::directory_iterator(folder)) {
            if (!entry.is_regular_file() || !isSheetFile(entry.path())) continue;
            const ExchangeTable* table = tableCalled(m_tables, entry.path().stem().string());
            if (table == nullptr) {
                others.insert(entry.path());
            } else if (entry.path().filename() == table->file) {
                file_of_table[table->file] = entry.path();
            }
        }
        for (const auto& entry : fs::directory_iterator(folder)) {
            const ExchangeTable* table = tableCalled(m_tables, entry.path().stem().string());
            if (!entry.is_regular_file() || !isSheetFile(entry.path()) || table == nullptr) continue;
            fs::path& held = file_of_table[table->file];
            if (held.empty()) {
                held = entry.path();
            } else if (held != entry.path() && held.filename() != table->file) {
                throw InputError("the folder " + folder.string() + " holds both '" +
                                 held.filename().string() + "' and '" + entry.path().filename().string() +
                                 "': which one is meant?");
            }
        }
        const bool plain = std::all_of(file_of_table.begin(), file_of_table.end(), [&](const auto& file) {
            return isExchangeFile(file.second, m_tables);
        });
        if (plain) {
            SheetImport exact = exchangeFolder(folder);
            if (exact.good()) return exact;
            // Columns as they should be, cells in another dialect: read as people write, or told as it was.
            try {
                SheetImport result = written(file_of_table);
                if (result.good()) return result;
            } catch (const InputError&) {
            }
            return exact;
        }
        SheetImport result = written(file_of_table);
        for (const fs::path& other : others) {
            result.passed_over.push_back(other.filename().string() + ", which is no table of a shop");
        }
        return result;
    }

private:
    SheetImport written(const std::map<std::string, fs::path>& files) {
        m_inputs.clear();
        m_flat.clear();
        m_result = SheetImport();
        for (const auto& [table, path] : files) {
            if (isExchangeFile(path, m_tables) && table != "stock.csv") {
                m_inputs.push_back({table, path});
            } else {
                collect(path);
            }
        }
        return run();
    }

    static SheetImport told(inventory::ImportReport report) {
        SheetImport result;
        result.problems = report.problems;
        result.problem_count = report.problem_count;
        result.unread_count = report.unread_count;
        for (const std::string& file : report.ignored)
            result.passed_over.push_back(file + ", which is no table of a shop");
        result.done.push_back(std::move(report));
        return result;
    }

    template <typename Import>
    static SheetImport attempted(Import import) {
        try {
            return told(import());
        } catch (const inventory::ImportRefused& refused) {
            return told(refused.report());
        }
    }

    SheetImport exchangeFile(const fs::path& path) {
        SheetImport exact = attempted([&] {
            return m_keep ? inventory::importFile(m_shop, path) : inventory::previewFile(m_shop, path);
        });
        if (exact.good()) return exact;
        try {
            collect(path);
            SheetImport result = run();
            if (result.good()) return result;
        } catch (const InputError&) {
        }
        return exact;
    }

    SheetImport exchangeFolder(const fs::path& folder) {
        return attempted([&] {
            return m_keep ? inventory::importShopFolder(m_shop, folder)
                          : inventory::previewShopFolder(m_shop, folder);
        });
    }

    /// The sheets of a file: tables of the exchange format become inputs, flat ones wait for the shop.
    void collect(const fs::path& path) {
        const std::string file = path.filename().string();
        std::vector<RawSheet> sheets = readRawSheets(path);
        if (!m_answers.sheet.empty()) {
            std::string names;
            for (const RawSheet& sheet : sheets) names += (names.empty() ? "'" : ", '") + sheet.name + "'";
            std::erase_if(sheets, [&](const RawSheet& sheet) { return sheet.name != m_answers.sheet; });
            if (sheets.empty())
                throw InputError(file + " has no sheet '" + m_answers.sheet + "': it has " + names);
        }
        if (sheets.empty()) throw InputError(file + " has no sheet with anything in it");
        std::string first_question;
        std::size_t understood = 0;
        for (RawSheet& sheet : sheets) {
            const std::string name =
                sheets.size() == 1 || sheet.name.empty() ? file : file + ", sheet '" + sheet.name + "'";
            const std::string stem = sheets.size() > 1 ? sheet.name : path.stem().string();
            if (sheetOfTable(sheet, name, stem)) {
                ++understood;
                continue;
            }
            // Without two headings a sheet of a workbook may be anything; a lone one is asked about.
            if (sheets.size() > 1 && !layoutOf(sheet, name, m_answers)) {
                m_result.passed_over.push_back(name + ", in which no line names the columns");
                continue;
            }
            ++understood;
            m_flat.emplace_back(std::move(sheet), name);
        }
        if (understood == 0)
            throw InputError(
                file + ": in none of its sheets a line names the columns, such as OD, ID, thickness, bin, "
                       "quantity");
    }

    bool sheetOfTable(const RawSheet& sheet, const std::string& name, const std::string& stem) {
        const ExchangeTable* table = tableCalled(m_tables, stem);
        if (table == nullptr) {
            // Called otherwise: a table where all that it needs is there and it is no stock.
            for (const ExchangeTable& known : m_tables) {
                if (known.file == "stock.csv" || known.file == "parts.csv" || known.file == "bins.csv" ||
                    known.file == "reorder_classes.csv")
                    continue;
                if (namesNothingElse(sheet, name, known) && takeTable(sheet, name, known)) return true;
            }
            return false;
        }
        if (table->file == "stock.csv") return false;
        if (takeTable(sheet, name, *table)) return true;
        if (table->file == "bins.csv" || table->file == "parts.csv") return false;
        std::string needed;
        for (std::size_t i = 0; i < table->columns.size(); ++i) {
            if (table->needed[i]) needed += (needed.empty() ? "" : ", ") + table->columns[i];
        }
        throw InputError(name + " is called as the table " + table->file + ", which needs the columns " +
                         needed + ": say which is which by --column \"HEADING=" + table->columns[0] + "\"");
    }

    /// Each column that a flat sheet would read is one of the table: else the sheet says more than the table.
    [[nodiscard]] bool namesNothingElse(const RawSheet& sheet, const std::string& name,
                                        const ExchangeTable& table) const {
        std::optional<SheetLayout> all;
        try {
            all = layoutOf(sheet, name, m_answers);
        } catch (const InputError&) {
            return false; // the question is asked where the sheet is read as a flat one
        }
        return all && std::all_of(all->columns.begin(), all->columns.end(), [&](const SheetColumn& column) {
                   return column.field == nullptr || std::find(table.columns.begin(), table.columns.end(),
                                                               column.field->name) != table.columns.end();
               });
    }

    bool takeTable(const RawSheet& sheet, const std::string& name, const ExchangeTable& table) {
        std::optional<UnderstoodSheet> understood;
        try {
            understood = understandTable(sheet, name, table, m_answers);
        } catch (const InputError&) {
            return false; // as a flat sheet it may be clear; else the question is asked there
        }
        if (!understood) return false;
        // A sheet of parts that counts too is flat.
        if ((table.file == "bins.csv" || table.file == "parts.csv")) {
            const std::optional<SheetLayout> all = layoutOf(sheet, name, m_answers);
            if (all && (all->has("quantity") || all->has("size"))) return false;
        }
        add(std::move(*understood));
        return true;
    }

    void add(UnderstoodSheet sheet) {
        for (ImportProblem& problem : sheet.problems) {
            ++m_result.problem_count;
            m_result.problems.push_back(problem);
        }
        for (TableInput& table : sheet.tables) m_inputs.push_back(std::move(table));
        sheet.tables.clear();
        m_result.sheets.push_back(std::move(sheet));
    }

    [[nodiscard]] bool comesBeforeStock(const std::string& file) const {
        for (const ExchangeTable& table : m_tables) {
            if (table.file == "stock.csv") return false;
            if (table.file == file) return true;
        }
        return false;
    }

    void post(const std::vector<TableInput>& inputs) {
        if (inputs.empty()) return;
        try {
            m_result.done.push_back(inventory::importInputs(m_shop, inputs));
        } catch (const inventory::ImportRefused& refused) {
            m_result.problem_count += refused.report().problem_count;
            m_result.unread_count += refused.report().unread_count;
            for (const ImportProblem& problem : refused.report().problems)
                m_result.problems.push_back(named(problem));
            throw RollBack{};
        }
    }

    /// A column of the exchange format by the heading that it has in the sheet.
    [[nodiscard]] ImportProblem named(ImportProblem problem) const {
        for (const UnderstoodSheet& sheet : m_result.sheets) {
            if (sheet.name != problem.file) continue;
            const SheetColumn* column = sheet.layout.column(problem.column_name);
            if (column == nullptr && sheet.layout.has("size") && problem.column_name.ends_with("_mm"))
                column = sheet.layout.column("size");
            problem.column_number = column == nullptr ? 0 : static_cast<int>(column->place) + 1;
            if (column != nullptr) problem.column_name = column->heading;
        }
        return problem;
    }

    SheetImport run() {
        if (m_result.problem_count > 0) return finished();
        try {
            m_shop.atomically([&] {
                std::vector<TableInput> first, then;
                if (m_flat.empty()) {
                    then = std::move(m_inputs);
                } else {
                    // The parts and drawers that the flat sheets name may come with other files.
                    for (TableInput& input : m_inputs)
                        (comesBeforeStock(input.table) ? first : then).push_back(std::move(input));
                }
                post(first);
                for (auto& [sheet, name] : m_flat) {
                    UnderstoodSheet understood = understandFlatSheet(m_shop, sheet, name, m_answers);
                    std::vector<TableInput> tables = std::move(understood.tables);
                    understood.tables.clear();
                    add(std::move(understood));
                    if (m_result.problem_count == 0) {
                        // Master data at once, so that the next sheet sees it; counts with the rest.
                        std::vector<TableInput> master;
                        for (TableInput& table : tables)
                            (comesBeforeStock(table.table) ? master : then).push_back(std::move(table));
                        post(master);
                    }
                }
                if (m_result.problem_count > 0) throw RollBack{};
                post(then);
                if (!m_keep) throw RollBack{};
            });
        } catch (const RollBack&) {
        }
        return finished();
    }

    SheetImport finished() {
        if (!m_result.good()) m_result.done.clear();
        return std::move(m_result);
    }

    inventory::ShopFile& m_shop;
    const SheetAnswers& m_answers;
    bool m_keep;
    std::vector<ExchangeTable> m_tables;
    std::vector<TableInput> m_inputs;
    std::vector<std::pair<RawSheet, std::string>> m_flat;
    SheetImport m_result;
};

} // namespace

SheetImport importSheets(inventory::ShopFile& shop, const fs::path& path, const SheetAnswers& answers,
                         bool keep) {
    Importer importer(shop, answers, keep);
    if (fs::is_directory(path)) return importer.folder(path);
    return importer.file(path);
}

std::vector<std::string> columnSentences(const UnderstoodSheet& sheet) {
    std::vector<std::string> sentences;
    for (const SheetColumn& column : sheet.layout.columns) {
        std::string sentence = "column " + std::to_string(column.place + 1) + " '" + column.heading + "': ";
        sentence += column.field == nullptr ? "not read" : std::string(column.field->name);
        if (!column.unit.empty() && column.field != nullptr && column.field->content == FieldContent::length)
            sentence += column.unit == "in" ? ", inches" : column.unit == "um" ? ", micrometres" : ", mm";
        if (!column.how.empty()) sentence += " (" + column.how + ")";
        sentences.push_back(std::move(sentence));
    }
    return sentences;
}

} // namespace shimledger::services
