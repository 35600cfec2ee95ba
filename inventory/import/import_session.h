// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/csv_import.h"
#include "inventory/import/import_row.h"
#include "inventory/master_changes.h"
#include "inventory/shop_file.h"
#include "inventory/supplier.h"

#include <map>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// The last rows that were there before the import.
struct KnownBefore {
    std::int64_t part = 0, bin = 0, supplier = 0, model = 0, recipe = 0;
};

/// What the readers of the tables share during one import, inside one write transaction.
struct ImportSession {
    ShopFile& shop;
    ImportReport& report;
    std::map<std::string, ImportHeader> headers; ///< by file, of those read so far
    std::set<std::string> incomplete;            ///< files of which some line was not taken
    BadCodes bad_codes;
    KnownBefore known_before{};
    std::set<std::string> new_classes{}; ///< of reorder settings that this import has made
};

/// One CSV file that an import may hold. Adding a table means adding its row to importTables().
struct ImportTable {
    std::string_view file;                    ///< "bins.csv"
    std::string_view what;                    ///< "bins"
    std::vector<ImportColumn> columns;        ///< the first one names the row where the table `has_codes`
    void (*read)(ImportSession&, ImportRow&); ///< takes one line into the shop file, or notes its problems
    bool has_codes = false;                   ///< other tables name this one's rows
};

/// All tables, in the order in which a folder is read.
[[nodiscard]] std::span<const ImportTable> importTables();

// One function per table; the files import_*.cpp hold them by subject.
void readSupplier(ImportSession& session, ImportRow& row);
void readBin(ImportSession& session, ImportRow& row);
void readPart(ImportSession& session, ImportRow& row);
void readSupplierPart(ImportSession& session, ImportRow& row);
void readPriceBreak(ImportSession& session, ImportRow& row);
void readReorderClass(ImportSession& session, ImportRow& row);
void readComponentModel(ImportSession& session, ImportRow& row);
void readModelConsumable(ImportSession& session, ImportRow& row);
void readModelValve(ImportSession& session, ImportRow& row);
void readModelFlow(ImportSession& session, ImportRow& row);
void readRecipe(ImportSession& session, ImportRow& row);
void readStockLine(ImportSession& session, ImportRow& row);
void readJobLine(ImportSession& session, ImportRow& row);
void readJobStackRow(ImportSession& session, ImportRow& row);
void readJobConsumable(ImportSession& session, ImportRow& row);
void readJobTryRow(ImportSession& session, ImportRow& row);
void readStripRow(ImportSession& session, ImportRow& row);
void readWearFinding(ImportSession& session, ImportRow& row);
void readOrderHead(ImportSession& session, ImportRow& row);
void readOrderLine(ImportSession& session, ImportRow& row);
void readMovement(ImportSession& session, ImportRow& row);
void readReading(ImportSession& session, ImportRow& row);
void readMasterChange(ImportSession& session, ImportRow& row);

/// Temporary tables for what can only be done after all files were read: movements wait there for their order
/// in time, ended jobs and closed orders for the movements. On disk, not in memory.
void openStaging(ImportSession& session);
void closeStaging(ImportSession& session);
/// Posts the waiting movements, then ends jobs and closes orders.
void postStaged(ImportSession& session);
/// What is retired took movements and orders in before: it is marked at the end, which is no change.
void openMasterStaging(ImportSession& session);
void closeMasterStaging(ImportSession& session);
[[nodiscard]] bool readRetired(ImportRow& row); ///< of the column that tables of master data have
void stageRetired(ImportSession& session, const MasterSubject& about);
void retireStaged(ImportSession& session);
/// What was there before the import is changed, and the change kept; what the import itself makes is made.
void noteNewOffer(ImportSession& session, const SupplierPart& offer);
[[nodiscard]] bool wasOffered(ImportSession& session, std::string_view supplier, std::string_view part,
                              std::int64_t pack_size);
[[nodiscard]] bool modelWasThere(ImportSession& session, std::string_view model);
/// Stacks whose rows do not run 1, 2, 3 ...
void checkStackPositions(ImportSession& session);

} // namespace shimledger::inventory
