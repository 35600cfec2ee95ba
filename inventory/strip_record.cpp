// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/strip_record.h"

#include "inventory/job_book.h"
#include "inventory/ledger/job_rows.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/slip_hint.h"
#include "inventory/storage/transaction.h"

#include <algorithm>

namespace shimledger::inventory {

namespace {

// Wider than any shim of a fork or shock: beyond it a unit or a digit is wrong.
constexpr Length least_od = Length::fromMicrometres(3'000);
constexpr Length greatest_od = Length::fromMicrometres(100'000);
constexpr Length least_thickness = Length::fromMicrometres(20);
constexpr Length greatest_thickness = Length::fromMicrometres(5'000);
constexpr std::size_t most_readings = 20;
// A caliper on a punched edge; further off, it is another diameter.
constexpr Length diameter_slack = Length::fromMicrometres(500);

void checkReadings(const std::string& who, const StripRow& row) {
    if (row.readings.size() > most_readings) {
        throw FieldError("readings_mm", who + " has more than 20 readings");
    }
    for (const Length reading : row.readings) {
        if (reading < least_thickness || reading > greatest_thickness) {
            throw FieldError("readings_mm",
                             who + " reads " + reading.text(3) +
                                 " mm, which is no thickness of a shim (0.02 to 5 mm): check the "
                                 "digits and the unit");
        }
    }
    if (row.readings.empty()) return;
    const auto [least, greatest] = std::minmax_element(row.readings.begin(), row.readings.end());
    if (10 * *greatest > 13 * *least) {
        throw FieldError("readings_mm", who + " reads " + least->text(3) + " and " + greatest->text(3) +
                                            " mm, which are not equal discs: " +
                                            (farFrom(*greatest, *least) ? slipHint(*greatest, *least)
                                                                        : "give each its own row"));
    }
}

void checkIdentity(ShopFile& shop, const std::string& who, const StripRow& row) {
    if (row.part.empty()) {
        if (row.readings.empty()) {
            throw FieldError("readings_mm", who + " has neither a reading nor a part: measure it or name it");
        }
        return;
    }
    const Part part = PartCatalogue(shop).get(row.part);
    if (part.kind != PartKind::shim) {
        throw FieldError("part", who + " names part " + inQuotes(part.code) + ", which is no shim");
    }
    const Length od_gap = row.od < *part.od ? *part.od - row.od : row.od - *part.od;
    if (od_gap > diameter_slack) {
        throw FieldError("od_mm", who + " measures " + row.od.text() + " mm across, but part " +
                                      inQuotes(part.code) + " has " + part.od->text() + " mm");
    }
    for (const Length reading : row.readings) {
        if (!farFrom(reading, *part.thickness)) continue;
        throw FieldError("readings_mm", who + " reads " + reading.text(3) + " mm, which cannot be part " +
                                            inQuotes(part.code) + ": " + slipHint(reading, *part.thickness));
    }
}

void checkRow(ShopFile& shop, const StripSheet& sheet, std::size_t index) {
    const StripRow& row = sheet.rows[index];
    const std::string who = "job " + inQuotes(sheet.job) + ", leg " + std::to_string(sheet.leg) + ", row " +
                            std::to_string(index + 1);
    if (row.count < 1 || row.count > 1000) {
        throw FieldError("count", who + " has " + std::to_string(row.count) + " discs: give 1 to 1000");
    }
    if (row.od < least_od || row.od > greatest_od) {
        throw FieldError("od_mm",
                         who + " measures " + row.od.text() +
                             " mm across, which is no diameter of a shim (3 to 100 mm): check the digits "
                             "and the unit");
    }
    checkReadings(who, row);
    checkIdentity(shop, who, row);
    if (row.scrap < 0 || row.scrap > row.count) {
        throw FieldError("scrap", who + " scraps " + std::to_string(row.scrap) + " of " +
                                      std::to_string(row.count) + " discs");
    }
    checkFreeText(row.scrap_reason, "reason", "scrap_reason");
    if ((row.scrap > 0) == row.scrap_reason.empty()) {
        throw FieldError("scrap_reason", row.scrap > 0
                                             ? who + " scraps discs: say why, such as bent or scored"
                                             : who + " says why discs are scrap, but scraps none");
    }
}

void insertRow(ShopConnection& connection, std::int64_t job, const StripSheet& sheet, std::int64_t position,
               const StripRow& row) {
    std::optional<std::int64_t> part;
    std::optional<std::int64_t> bin;
    if (!row.part.empty()) part = partId(connection, row.part);
    if (!row.bin.empty()) bin = binId(connection, row.bin);
    Query(connection,
          "INSERT INTO strip_rows (job_id, leg, position, utc, count, od_um, part_id, scrap, scrap_reason, "
          "bin_id) "
          "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
          job, sheet.leg, position, sheet.utc, row.count, row.od, part, row.scrap, row.scrap_reason, bin)
        .run();
    std::int64_t place = 0;
    for (const Length reading : row.readings) {
        Query(connection,
              "INSERT INTO strip_readings (job_id, leg, position, place, thickness_um) VALUES (?1, ?2, ?3, "
              "?4, ?5)",
              job, sheet.leg, position, ++place, reading)
            .run();
    }
}

JobStack asFoundStack(ShopFile& shop, const StripSheet& sheet) {
    JobStack stack{StackRole::asFound, sheet.leg, {}};
    for (const StripRow& row : sheet.rows) {
        StackRow found;
        found.count = row.count;
        found.od = row.od;
        if (!row.part.empty()) {
            const Part part = PartCatalogue(shop).get(row.part);
            found.od = *part.od;
            found.thickness = *part.thickness;
        }
        if (const auto mean = meanReading(row)) found.thickness = *mean;
        stack.rows.push_back(found);
    }
    return stack;
}

std::vector<Length> readingsOf(ShopConnection& connection, std::int64_t job, int leg, std::int64_t position) {
    std::vector<Length> readings;
    Query query(connection,
                "SELECT thickness_um FROM strip_readings WHERE job_id = ?1 AND leg = ?2 AND position = ?3 "
                "ORDER BY place",
                job, leg, position);
    while (query.next()) readings.push_back(query.length(0));
    return readings;
}

} // namespace

std::optional<Length> meanReading(const StripRow& row) {
    if (row.readings.empty()) return std::nullopt;
    Length sum;
    for (const Length reading : row.readings) sum += reading;
    const auto count = static_cast<std::int64_t>(row.readings.size());
    return Length::fromMicrometres((2 * sum.micrometres() + count) / (2 * count));
}

void StripRecords::set(const StripSheet& sheet) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t job = livingJobId(connection, sheet.job);
    const LegRange legs = legsOfValve(connection, JobBook(m_shop).get(sheet.job));
    if (sheet.leg < legs.first || sheet.leg > legs.last) {
        throw FieldError("leg", "job " + inQuotes(sheet.job) + " has no leg " + std::to_string(sheet.leg) +
                                    ": it has legs " + std::to_string(legs.first) + " to " +
                                    std::to_string(legs.last));
    }
    for (std::size_t index = 0; index < sheet.rows.size(); ++index) checkRow(m_shop, sheet, index);
    Query(connection, "DELETE FROM strip_rows WHERE job_id = ?1 AND leg = ?2", job, sheet.leg).run();
    StripSheet written = sheet;
    if (written.utc == UtcTime()) written.utc = m_shop.now();
    std::int64_t position = 0;
    for (const StripRow& row : sheet.rows) insertRow(connection, job, written, ++position, row);
    JobBook(m_shop).setStack(sheet.job, asFoundStack(m_shop, sheet));
    transaction.commit();
}

std::optional<StripSheet> StripRecords::find(std::string_view job, int leg) const {
    for (StripSheet& sheet : ofJob(job)) {
        if (sheet.leg == leg) return std::move(sheet);
    }
    return std::nullopt;
}

std::vector<StripSheet> StripRecords::ofJob(std::string_view job) const {
    ShopConnection& connection = m_shop.connection();
    const std::int64_t id = jobId(connection, job);
    std::vector<StripSheet> sheets;
    Query query(connection,
                "SELECT s.leg, s.position, s.utc, s.count, s.od_um, p.code, s.scrap, s.scrap_reason, b.code "
                "FROM strip_rows s LEFT JOIN parts p USING (part_id) LEFT JOIN bins b USING (bin_id) "
                "WHERE s.job_id = ?1 ORDER BY s.leg, s.position",
                id);
    while (query.next()) {
        const int leg = query.smallInteger(0);
        if (sheets.empty() || sheets.back().leg != leg) {
            sheets.push_back({std::string(job), leg, query.utc(2), {}});
        }
        StripRow row;
        row.count = query.integer(3);
        row.od = query.length(4);
        row.part = query.textOrEmpty(5);
        row.scrap = query.integer(6);
        row.scrap_reason = query.text(7);
        row.bin = query.textOrEmpty(8);
        row.readings = readingsOf(connection, id, leg, query.integer(1));
        sheets.back().rows.push_back(std::move(row));
    }
    return sheets;
}

} // namespace shimledger::inventory
