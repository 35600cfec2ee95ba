// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/csv_import.h"

#include "inventory/csv_reader.h"
#include "inventory/import/import_session.h"
#include "inventory/input_file.h"
#include "inventory/master/change_check.h"
#include "inventory/stock_snapshot.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"
#include "planner/units/near_name.h"
#include "planner/units/small_letters.h"

#include <algorithm>
#include <array>
#include <map>
#include <memory>
#include <optional>
#include <set>

namespace shimledger::inventory {

namespace {

struct FileToRead {
    std::filesystem::path path;
    const ImportTable* table;
    const TableInput* rows = nullptr; ///< in the place of the file
};

/// The lines of a table one by one, from a CSV file or from memory.
class Lines {
public:
    explicit Lines(const FileToRead& file) {
        if (file.rows != nullptr) {
            m_rows = file.rows;
            return;
        }
        m_file = std::make_unique<InputFile>(file.path);
        m_reader.emplace(m_file->stream());
    }

    bool next(CsvRecord& record) {
        if (m_reader) return m_reader->next(record);
        if (m_header) {
            m_header = false;
            record = CsvRecord();
            record.line = 1;
            record.cells = m_rows->columns;
            return true;
        }
        if (m_place == m_rows->rows.size()) return false;
        record = m_rows->rows[m_place++];
        return true;
    }

private:
    const TableInput* m_rows = nullptr;
    std::unique_ptr<InputFile> m_file;
    std::optional<CsvReader> m_reader;
    std::size_t m_place = 0;
    bool m_header = true;
};

const ImportTable* tableOf(const std::filesystem::path& path) {
    for (const ImportTable& table : importTables()) {
        if (path.filename() == table.file) return &table;
    }
    return nullptr;
}

std::string knownFiles() {
    std::string names;
    for (const ImportTable& table : importTables()) {
        if (!names.empty()) names.append(", ");
        names.append(table.file);
    }
    return names;
}

/// A file that is meant for a table, but is called otherwise or is no CSV: it would be passed over, and the
/// person be told that all is well. Beside the table's own file only one that differs in capitals alone is
/// refused; others are old versions, or the workbook that the CSV was saved from.
void refuseNearMiss(const std::filesystem::path& folder, const std::string& name) {
    if (tableOf(name) != nullptr) return;
    constexpr std::array<std::string_view, 6> table_like{".csv", ".xlsx", ".xls", ".ods", ".tsv", ".txt"};
    // "stock.csv.txt" is what an editor makes of it, "stock.csv.bak" a copy.
    const auto ending = inSmallLetters(name).find(".csv.");
    const std::filesystem::path path(name.substr(0, ending == std::string::npos ? ending : ending + 4));
    const std::string extension =
        ending == std::string::npos ? inSmallLetters(path.extension().string()) : std::string();
    if (!extension.empty() && std::find(table_like.begin(), table_like.end(), extension) == table_like.end())
        return;
    std::vector<std::string> stems;
    for (const ImportTable& table : importTables())
        stems.push_back(std::filesystem::path(table.file).stem().string());
    const std::string stem = nearName(path.stem().string(), stems);
    if (stem.empty()) return;
    const std::string meant = stem + ".csv";
    if (inSmallLetters(name) != meant && std::filesystem::exists(folder / meant)) return;
    throw InputError("the folder " + folder.string() + " holds " + inQuotes(name) +
                     ", of which nothing would be read: " +
                     (extension == ".csv" ? "call it " : "save it as CSV, called ") + meant +
                     ", or take it out of the folder");
}

std::vector<FileToRead> filesIn(const std::filesystem::path& folder, ImportReport& report) {
    if (!std::filesystem::is_directory(folder)) {
        throw InputError("there is no folder " + folder.string() + " to import from");
    }
    std::vector<FileToRead> files;
    for (const ImportTable& table : importTables()) {
        const std::filesystem::path path = folder / table.file;
        if (std::filesystem::is_regular_file(path)) files.push_back({path, &table});
    }
    std::set<std::string> names; // in an order that does not depend on the disk
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        if (entry.is_regular_file()) names.insert(entry.path().filename().string());
    }
    for (const std::string& name : names) refuseNearMiss(folder, name);
    if (files.empty()) throw InputError("the folder " + folder.string() + " holds none of " + knownFiles());
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        if (inSmallLetters(entry.path().extension().string()) == ".csv" && tableOf(entry.path()) == nullptr) {
            report.ignored.push_back(entry.path().filename().string());
        }
    }
    std::sort(report.ignored.begin(), report.ignored.end());
    return files;
}

// True if the header can be worked with.
bool checkHeader(const ImportTable& table, const CsvRecord& record, ImportReport& report) {
    const std::int64_t problems_before = report.problem_count;
    const std::string file(table.file);
    const bool semicolons = record.cells.size() == 1 && record.cells[0].find(';') != std::string::npos;
    if (semicolons) {
        addProblem(report, {file, record.line, 0, "",
                            "the columns are parted by semicolons: save the file with commas"});
        return false;
    }
    std::vector<std::string> columns;
    for (const ImportColumn& column : table.columns) columns.emplace_back(column.name);
    std::set<std::string> seen;
    int number = 0;
    for (const std::string& name : record.cells) {
        ++number;
        const bool known = std::any_of(table.columns.begin(), table.columns.end(),
                                       [&](const ImportColumn& column) { return column.name == name; });
        if (!known) {
            addProblem(report,
                       {file, record.line, number, name,
                        inQuotes(name) + " is no column of " + file + nearNameText(name, columns, "")});
        } else if (!seen.insert(name).second) {
            addProblem(report, {file, record.line, number, name, "the column is there twice"});
        }
    }
    for (const ImportColumn& column : table.columns) {
        if (column.needed && !seen.contains(std::string(column.name))) {
            addProblem(report, {file, record.line, 0, std::string(column.name), "the column is missing"});
        }
    }
    return report.problem_count == problems_before;
}

// A good header, or an empty one and its problems in the report.
ImportHeader readHeader(const ImportTable& table, const std::string& name, Lines& reader,
                        ImportReport& report) {
    ImportHeader header{name, {}};
    CsvRecord record;
    if (!reader.next(record)) {
        addProblem(report,
                   {header.file, 0, 0, "", "the file is empty: it needs a first line with the column names"});
    } else if (!record.fault.empty()) {
        addProblem(report, {header.file, record.line, record.fault_column, "", record.fault});
    } else if (checkHeader(table, record, report)) {
        header.names = record.cells;
    }
    return header;
}

void readFile(const FileToRead& file, ImportSession& session) {
    Lines reader(file);
    ImportReport& report = session.report;
    const std::string table(file.table->file);
    const std::string name = file.rows != nullptr && !file.rows->name.empty() ? file.rows->name : table;
    report.files.push_back({name, std::string(file.table->what), 0});
    const ImportHeader header = readHeader(*file.table, name, reader, report);
    if (header.names.empty()) return;
    session.headers[table] = header;
    CsvRecord record;
    const auto lines_not_taken = [&report] { return report.problem_count + report.unread_count; };
    while (reader.next(record)) {
        ++report.files.back().rows;
        const std::int64_t before = lines_not_taken();
        if (!record.fault.empty()) {
            const auto column = static_cast<std::size_t>(record.fault_column);
            const bool named = column >= 1 && column <= header.names.size();
            addProblem(report, {header.file, record.line, record.fault_column,
                                named ? header.names[column - 1] : std::string(), record.fault});
        } else if (record.cells.size() != header.names.size()) {
            addProblem(report, {header.file, record.line, 0, "",
                                "the line has " + std::to_string(record.cells.size()) +
                                    " cells, the header " + std::to_string(header.names.size())});
        } else {
            ImportRow row(header, record, report, session.bad_codes);
            file.table->read(session, row);
        }
        if (lines_not_taken() == before) continue;
        session.incomplete.insert(table);
        const std::string_view code = file.table->columns.front().name;
        const auto place = header.place(code);
        if (file.table->has_codes && place && *place < record.cells.size())
            session.bad_codes.add(code, record.cells[*place]);
    }
}

std::map<std::string, std::int64_t> onHand(const ShopFile& shop) {
    std::map<std::string, std::int64_t> on_hand;
    for (const PartBalance& balance : partBalances(shop)) on_hand[balance.part] = balance.on_hand;
    return on_hand;
}

std::vector<ImportedStock> stockChanges(const ShopFile& shop, std::map<std::string, std::int64_t> before) {
    std::vector<ImportedStock> changes;
    for (const auto& [part, on_hand] : onHand(shop)) {
        if (before[part] != on_hand) changes.push_back({part, before[part], on_hand});
    }
    return changes;
}

void run(ShopFile& shop, const std::vector<FileToRead>& files, ImportReport& report, bool keep) {
    WriteTransaction transaction(shop.connection());
    ImportSession session{shop, report, {}, {}, {}};
    openStaging(session);
    const auto before = onHand(shop);
    for (const FileToRead& file : files) readFile(file, session);
    if (!session.incomplete.contains("job_stacks.csv")) checkStackPositions(session);
    // A movement whose forerunners are missing would be refused for no fault of its own.
    if (!session.incomplete.contains("stock.csv") && !session.incomplete.contains("movements.csv"))
        postStaged(session);
    if (report.good() && session.headers.contains("master_changes.csv")) {
        constexpr std::size_t most_told = 10;
        for (const std::string& fault : changeFaults(shop, most_told))
            addProblem(report, {"master_changes.csv", 0, 0, "", fault});
    }
    closeStaging(session);
    if (report.good()) report.stock = stockChanges(shop, before);
    if (keep && report.good()) transaction.commit();
}

std::string summary(const ImportReport& report) {
    constexpr std::size_t most_named = 5;
    std::string text = problemCountText(report) + " Nothing was imported.";
    for (std::size_t i = 0; i < report.problems.size() && i < most_named; ++i) {
        text.append("\n").append(report.problems[i].text());
    }
    if (report.problem_count > static_cast<std::int64_t>(most_named)) text += "\n...";
    return text;
}

FileToRead fileToRead(const std::filesystem::path& file) {
    const ImportTable* table = tableOf(file);
    if (table == nullptr) {
        std::vector<std::string> names;
        for (const ImportTable& known : importTables()) names.emplace_back(known.file);
        const std::string near = nearName(file.filename().string(), names);
        throw InputError("the name of " + file.string() + " does not say what it holds: call it " +
                         (near.empty() ? "one of " + knownFiles() : near));
    }
    if (!std::filesystem::is_regular_file(file)) throw InputError("there is no file " + file.string());
    return {file, table};
}

ImportReport importFiles(ShopFile& shop, const std::vector<FileToRead>& files, ImportReport report,
                         bool keep) {
    run(shop, files, report, keep);
    if (keep && !report.good()) throw ImportRefused(std::move(report));
    return report;
}

ImportReport importInputs(ShopFile& shop, const std::vector<TableInput>& tables, bool keep) {
    std::vector<FileToRead> files;
    for (const ImportTable& table : importTables()) {
        for (const TableInput& input : tables) {
            if (input.table == table.file) {
                files.push_back({input.file, &table, input.file.empty() ? &input : nullptr});
            }
        }
    }
    if (files.size() != tables.size()) throw std::logic_error("a table to import is none of the shop's");
    return importFiles(shop, files, {}, keep);
}

} // namespace

std::vector<ExchangeTable> exchangeTables() {
    std::vector<ExchangeTable> tables;
    for (const ImportTable& table : importTables()) {
        ExchangeTable& known = tables.emplace_back();
        known.file = table.file;
        for (const ImportColumn& column : table.columns) {
            known.columns.emplace_back(column.name);
            known.needed.push_back(column.needed);
        }
    }
    return tables;
}

ImportReport importInputs(ShopFile& shop, const std::vector<TableInput>& tables) {
    return importInputs(shop, tables, true);
}

ImportReport previewInputs(ShopFile& shop, const std::vector<TableInput>& tables) {
    return importInputs(shop, tables, false);
}

std::string ImportProblem::text() const {
    std::string where = file;
    if (line > 0) where.append(", line ").append(std::to_string(line));
    if (column_number > 0) {
        where.append(", column ").append(std::to_string(column_number));
        if (!column_name.empty()) where.append(" (").append(column_name).append(")");
    } else if (!column_name.empty()) {
        where.append(", column ").append(column_name);
    }
    return where + ": " + reason;
}

std::string problemCountText(const ImportReport& report) {
    const bool one = report.problem_count == 1;
    std::string text = std::to_string(report.problem_count) + (one ? " problem" : " problems");
    if (report.unread_count > 0) {
        text.append("; ").append(std::to_string(report.unread_count));
        text.append(report.unread_count == 1 ? " further line names" : " further lines name");
        text.append(one ? " what that line" : " what those lines");
        text.append(" should have brought, and ").append(report.unread_count == 1 ? "was" : "were");
        text.append(" not looked at");
    }
    return text + ".";
}

ImportRefused::ImportRefused(ImportReport report)
    : InputError(summary(report)), m_report(std::move(report)) {}

ImportReport importShopFolder(ShopFile& shop, const std::filesystem::path& folder) {
    ImportReport report;
    const std::vector<FileToRead> files = filesIn(folder, report);
    return importFiles(shop, files, std::move(report), true);
}

ImportReport importFile(ShopFile& shop, const std::filesystem::path& file) {
    return importFiles(shop, {fileToRead(file)}, {}, true);
}

ImportReport previewShopFolder(ShopFile& shop, const std::filesystem::path& folder) {
    ImportReport report;
    const std::vector<FileToRead> files = filesIn(folder, report);
    return importFiles(shop, files, std::move(report), false);
}

ImportReport previewFile(ShopFile& shop, const std::filesystem::path& file) {
    return importFiles(shop, {fileToRead(file)}, {}, false);
}

} // namespace shimledger::inventory
