#include "inventory/shop_rescue.h"

#include "inventory/csv_writer.h"
#include "inventory/import/export_tables.h"
#include "inventory/inventory_error.h"
#include "inventory/schema/schema_migrations.h"
#include "inventory/storage/open_shop_file.h"

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

} // namespace

std::vector<RescuedTable> rescueShopFile(const std::filesystem::path& shop_file,
                                         const std::filesystem::path& folder) {
    namespace fs = std::filesystem;
    std::error_code error;
    if (fs::exists(folder, error) && !(fs::is_directory(folder, error) && fs::is_empty(folder, error))) {
        throw InputError(folder.string() + " is not an empty folder: name one that is new or empty");
    }
    ShopFile shop = ShopFile::openForRescue(shop_file);
    std::vector<RescuedTable> tables;
    for (const ExportTable& table : exportTables()) {
        RescuedTable rescued{std::string(table.file), 0, ""};
        std::ostringstream text;
        try {
            table.write(shop, text);
        } catch (const std::exception& fault) {
            // Also a std::logic_error: in a damaged file a NULL stands where none may be, and a text is no
            // date.
            rescued.fault = fault.what();
        }
        rescued.rows = rowsIn(text.str());
        if (!fs::exists(folder, error) && !fs::create_directory(folder, error)) {
            throw ShopFileFault("the folder " + folder.string() + " cannot be made: " + error.message());
        }
        writeCsvFile(folder / table.file, [&](std::ostream& out) { out << text.str(); });
        tables.push_back(std::move(rescued));
    }
    const auto none = [](const RescuedTable& table) { return !table.whole() && table.rows == 0; };
    if (std::all_of(tables.begin(), tables.end(), none)) {
        throw ShopFileFault("nothing can be read of " + shop_file.string() + ": go back to a backup");
    }
    return tables;
}

} // namespace shimledger::inventory
