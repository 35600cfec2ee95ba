// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheet_import/raw_sheet.h"

#include "inventory/calendar.h"
#include "inventory/part.h"
#include "inventory/shop_file.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_movement.h"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <ostream>
#include <string>
#include <vector>

namespace shimledger::services {

/// One lot to count, or counted.
struct CountLine {
    std::string bin;
    std::string part;
    std::string what;
    inventory::Condition condition = inventory::Condition::fresh;
    std::string unit;                      ///< "piece", "mm", "ml"
    std::int64_t books = 0;                ///< on hand when the sheet was made
    std::optional<std::int64_t> counted{}; ///< in the drawer
    /// Of the reserved ones: they lie in a job's tray already and not in the drawer, so that they were not
    /// counted.
    std::int64_t laid_aside = 0;
    std::string reason{};   ///< why it differs: "lost", "found", "miscounted"
    std::string reserved{}; ///< on the sheet: "2 for JOB-1", whose trays to look into

    /// What there is, in the drawer and in trays.
    [[nodiscard]] std::int64_t found() const { return counted.value_or(0) + laid_aside; }
};

struct CountSheet {
    inventory::UtcTime made;
    std::string cabinet;          ///< empty: the whole shop
    std::vector<CountLine> lines; ///< in walking order
};

[[nodiscard]] CountSheet countSheet(inventory::ShopFile& shop, const std::string& cabinet = {});
/// RFC 4180, with the columns bin, part, what, condition, unit, books, reserved, laid_aside, counted, reason.
void writeCountCsv(const CountSheet& sheet, std::ostream& out);

/// Reads a sheet back: the CSV above or the .xlsx sheet, as any spreadsheet program saves them (.csv of any
/// dialect, .xlsx, .ods; lines above the headings are passed over, columns may stand in any order, and
/// laid_aside may be missing). Lines without a count are left out. Throws InputError with every bad line.
[[nodiscard]] std::vector<CountLine> readCountSheet(const std::filesystem::path& file);
/// The same of what was read already; `name` is that of the file, for sentences.
[[nodiscard]] std::vector<CountLine> countLinesOf(const std::vector<RawSheet>& sheets,
                                                  const std::string& name);

/// A difference that posting would book.
struct CountDifference {
    CountLine line;
    std::int64_t difference = 0; ///< found - books
    std::string sentence;
};
/// A job that the count leaves with less than was reserved for it.
struct JobLeftShort {
    std::string job;
    std::vector<inventory::Reservation> lost; ///< quantities are those lost
    std::string sentence;                     ///< "JOB-1 is left short: 2 of S24-0.12 in A2"
};
struct CountReview {
    std::int64_t counted = 0;
    std::vector<std::string> faults; ///< a sentence for each line that cannot be booked; then nothing is
    std::vector<CountDifference> differences;
    std::vector<std::string> by_reason; ///< "lost: 3 fewer in 2 lots"
    std::vector<JobLeftShort> left_short;

    /// One sentence for each job that is left short, then by which rule; none where no job is.
    [[nodiscard]] std::vector<std::string> shortSentences() const;
};

/// What the count would change, and which of its lines cannot be booked: unknown bin or part, a lot counted
/// twice, more laid aside than is reserved, or one whose books have changed since the sheet was made and do
/// not agree with the count: count it again. Posts nothing.
[[nodiscard]] CountReview examineCount(inventory::ShopFile& shop, const std::vector<CountLine>& lines);
/// The same, but any fault is an InputError that names every one.
[[nodiscard]] CountReview reviewCount(inventory::ShopFile& shop, const std::vector<CountLine>& lines);
/// Reviews and posts the differences, all or none, each with its reason. Where less is found than is
/// reserved, reservations shrink in the same batch (StockLedger::lostByCount).
CountReview postCount(inventory::ShopFile& shop, const std::vector<CountLine>& lines);

} // namespace shimledger::services
