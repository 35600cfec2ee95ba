// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/thickness_reading.h"

#include "inventory/plausible_reading.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/slip_hint.h"
#include "inventory/storage/transaction.h"

namespace shimledger::inventory {

namespace {

void checkPlausible(ShopConnection& connection, std::int64_t part, const ThicknessReading& reading) {
    Query query(connection, "SELECT thickness_um FROM parts WHERE part_id = ?1", part);
    query.mustRow();
    const std::optional<Length> nominal = query.optionalLength(0);
    if (!nominal) throw FieldError("part", "part " + inQuotes(reading.part) + " has no thickness to measure");
    mustBeReadingOf(reading.part, *nominal, reading.reading);
}

} // namespace

void mustBeReadingOf(const std::string& part, Length nominal, Length reading) {
    if (!farFrom(reading, nominal)) return;
    throw FieldError("reading_mm", "a reading of " + reading.text(3) + " mm cannot be of part " +
                                       inQuotes(part) + ", which is " + nominal.text(2) +
                                       " mm thick: " + slipHint(reading, nominal));
}

void addReading(ShopFile& shop, const ThicknessReading& reading) {
    ShopConnection& connection = shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t part = partId(connection, reading.part);
    const std::int64_t bin = binId(connection, reading.bin);
    checkPlausible(connection, part, reading);
    Query(connection,
          "INSERT INTO readings (part_id, bin_id, condition, utc, thickness_um) VALUES (?1, ?2, ?3, ?4, ?5)",
          part, bin, conditionNumber(reading.condition), reading.utc, reading.reading)
        .run();
    transaction.commit();
}

std::vector<ThicknessReading> readingsOfPart(const ShopFile& shop, std::string_view part) {
    ShopConnection& connection = shop.connection();
    std::vector<ThicknessReading> readings;
    Query query(
        connection,
        "SELECT p.code, b.code, r.condition, r.thickness_um, r.utc FROM readings r "
        "JOIN parts p USING (part_id) JOIN bins b USING (bin_id) WHERE r.part_id = ?1 ORDER BY r.reading_id",
        partId(connection, part));
    while (query.next()) {
        readings.push_back(
            {query.text(0), query.text(1), conditionOf(query.integer(2)), query.length(3), query.utc(4)});
    }
    return readings;
}

} // namespace shimledger::inventory
