// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/shop_rescue.h"

#include "inventory/csv_writer.h"
#include "inventory/import/export_tables.h"
#include "inventory/inventory_error.h"
#include "inventory/output_file.h"
#include "inventory/schema/schema_migrations.h"
#include "inventory/shop_address.h"
#include "inventory/storage/file_copy.h"
#include "inventory/storage/file_header.h"
#include "inventory/storage/header_mend.h"
#include "inventory/storage/open_shop_file.h"
#include "inventory/storage/row_salvage.h"

#include <algorithm>
#include <sstream>

namespace shimledger::inventory {

namespace {

// Line ends outside quotes: a cell may hold line breaks.
std::int64_t rowsIn(const std::string& csv) {
    std::int64_t rows = 0;
    bool quoted = false;
    for (const char c : csv) {
        if (c == '"') quoted = !quoted;
        if (c == '\n' && !quoted) ++rows;
    }
    return std::max<std::int64_t>(rows - 1, 0);
}

/// The file that a table's rows go to. Balances and reservations follow from the movements and have none.
std::string fileOf(const std::string& table) {
    if (table == "job_stack_rows") return "job_stacks.csv";
    if (table == "job_try_rows") return "job_tries.csv";
    if (table == "strip_readings") return "strip_rows.csv";
    return table + ".csv";
}

class RemoveAtEnd {
public:
    explicit RemoveAtEnd(std::filesystem::path path) : m_path(std::move(path)) {}
    ~RemoveAtEnd() {
        removeShopFile(m_path);
        std::error_code ignored;
        std::filesystem::remove_all(backupFolderOf(m_path), ignored); // a step of the schema makes one
    }
    RemoveAtEnd(const RemoveAtEnd&) = delete;
    RemoveAtEnd& operator=(const RemoveAtEnd&) = delete;

private:
    std::filesystem::path m_path;
};

/// Two copies on the way and the rows as texts; else the first sentence would be about a file that nobody
/// named.
void checkRoom(const std::filesystem::path& shop_file, const std::filesystem::path& folder) {
    std::error_code error;
    const std::uintmax_t size = std::filesystem::file_size(shop_file, error);
    if (error) return; // told when it is opened
    const std::uintmax_t wanted = 3 * size + (1U << 20U);
    const std::filesystem::space_info room = std::filesystem::space(folder, error);
    if (error || room.available >= wanted) return;
    throw FileFault("the disk with " + folder.string() + " has too little room: to rescue this file " +
                    std::to_string(wanted / 1'000'000 + 1) + " MB must be free");
}

/// A sound shop file of the damaged one's schema with all that can be read of it.
std::vector<SalvagedTable> salvageInto(const std::filesystem::path& damaged,
                                       const std::filesystem::path& sound) {
    const auto all = shopMigrations();
    const std::filesystem::path copy = sound.parent_path() / ".mended.db";
    const RemoveAtEnd gone_at_end(copy);
    const auto mended = mendHeader(damaged, copy, all);
    const std::int64_t schema = mended ? *mended : checkFileHeader(damaged, all.back().number);
    const auto end =
        std::find_if(all.begin(), all.end(), [&](const Migration& step) { return step.number > schema; });
    if (end == all.begin())
        throw ShopFileFault("nothing can be read of " + damaged.string() + ": go back to a backup");
    static_cast<void>(
        createShopFile(sound, systemClock(), all.first(static_cast<std::size_t>(end - all.begin()))));
    std::filesystem::permissions(sound,
                                 std::filesystem::perms::owner_read | std::filesystem::perms::owner_write);
    return salvageRows(mended ? copy : damaged, sound);
}

} // namespace

std::vector<RescuedTable> rescueShopFile(const std::filesystem::path& shop_file,
                                         const std::filesystem::path& folder) {
    refuseServer(shop_file,
                 "and only a shop file can be rescued: what a server holds comes out by 'shimledger "
                 "stock export', and its backups come back by pg_restore");
    makeOutputFolder(folder);
    checkRoom(shop_file, folder);
    const std::filesystem::path sound = folder / ".rescued.db";
    const RemoveAtEnd gone_at_end(sound);
    const auto salvaged = salvageInto(shop_file, sound);
    ShopFile shop = ShopFile::open(sound);
    std::vector<RescuedTable> tables;
    for (const ExportTable& table : exportTables()) {
        RescuedTable rescued{std::string(table.file), 0, {}};
        std::ostringstream text;
        try {
            table.write(shop, text);
        } catch (const std::exception& fault) {
            rescued.lost.emplace_back(std::string("then broken off: ") + fault.what());
        }
        rescued.rows = rowsIn(text.str());
        for (const SalvagedTable& from : salvaged)
            if (fileOf(from.table) == rescued.file)
                rescued.lost.insert(rescued.lost.end(), from.lost.begin(), from.lost.end());
        writeCsvFile(folder / table.file, [&](std::ostream& out) { out << text.str(); });
        takeReaders(shop_file, folder / table.file);
        tables.push_back(std::move(rescued));
    }
    for (const SalvagedTable& from : salvaged)
        if (from.table.empty()) tables.push_back({"the file as a whole", 0, from.lost});
    const auto none = [](const RescuedTable& table) { return !table.whole() && table.rows == 0; };
    if (std::all_of(tables.begin(), tables.end(), none)) {
        throw ShopFileFault("nothing can be read of " + shop_file.string() + ": go back to a backup");
    }
    return tables;
}

} // namespace shimledger::inventory
