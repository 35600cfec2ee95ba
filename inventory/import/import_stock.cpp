// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/import/import_session.h"
#include "inventory/ledger/ledger_posting.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/thickness_reading.h"

namespace shimledger::inventory {

namespace {

constexpr std::int64_t most_pieces = 1'000'000'000;

struct StatedSizes {
    std::optional<Length> od;
    std::optional<Length> id;
    std::optional<Length> thickness;
};

void mustAgree(const Part& part, std::string_view column, std::optional<Length> stated,
               std::optional<Length> held) {
    if (!stated || stated == held) return;
    throw FieldError(column,
                     stated->text(2) + " mm does not fit part " + inQuotes(part.code) + ", which has " +
                         (held ? held->text(2) + " mm" : std::string("no such size")) + " in the catalogue");
}

// By its code, or, a shim, by its size alone.
Part findPart(ImportSession& session, const ImportRow& row, PartKind kind, const StatedSizes& sizes) {
    const PartCatalogue catalogue(session.shop);
    if (row.has("part")) {
        Part part = catalogue.get(row.text("part"));
        if (part.kind != kind) {
            throw FieldError("kind", "part " + inQuotes(part.code) + " is of kind " +
                                         std::string(partKindName(part.kind)) + " in the catalogue, not " +
                                         std::string(partKindName(kind)));
        }
        mustAgree(part, "od_mm", sizes.od, part.od);
        mustAgree(part, "id_mm", sizes.id, part.id);
        mustAgree(part, "thickness_mm", sizes.thickness, part.thickness);
        return part;
    }
    if (kind != PartKind::shim) {
        throw FieldError("part", "is empty: only a shim can be named by its size alone");
    }
    if (!sizes.od || !sizes.id || !sizes.thickness) {
        throw FieldError(!sizes.od   ? "od_mm"
                         : !sizes.id ? "id_mm"
                                     : "thickness_mm",
                         "is empty: a shim without a part code needs all three sizes");
    }
    if (auto part = catalogue.findShim(*sizes.od, *sizes.id, *sizes.thickness)) return *part;
    throw FieldError("thickness_mm", "there is no shim " + sizes.od->text(1) + " x " + sizes.id->text(1) +
                                         " x " + sizes.thickness->text(2) +
                                         " in the catalogue: add it as a part first");
}

void mustBeNewLot(ImportSession& session, const MovementLine& line) {
    ShopConnection& connection = session.shop.connection();
    Query query(connection, "SELECT 1 FROM balances WHERE part_id = ?1 AND bin_id = ?2 AND condition = ?3",
                partId(connection, line.part), binId(connection, line.bin), conditionNumber(line.condition));
    if (query.next()) {
        throw FieldError("bin",
                         "part " + inQuotes(line.part) + " (" + std::string(conditionName(line.condition)) +
                             ") has its stock in bin " + inQuotes(line.bin) +
                             " already, in the shop file or further up: opening stock is given once, after "
                             "that post a count");
    }
}

} // namespace

void readStockLine(ImportSession& session, ImportRow& row) {
    const PartKind kind = row.word("kind", parsePartKind);
    const StatedSizes sizes{row.optionalLength("od_mm"), row.optionalLength("id_mm"),
                            row.optionalLength("thickness_mm")};
    const std::optional<Length> measured = row.optionalLength("measured_mm");
    MovementLine line;
    line.kind = MovementKind::receipt;
    line.condition = row.word("condition", parseCondition);
    line.bin = row.filled("bin");
    line.quantity = row.whole("quantity", 0, most_pieces);
    line.reason = "opening stock";
    const std::optional<CalendarDate> counted_on = row.optionalDate("counted_on");
    if (!row.good()) return;
    row.attempt([&] {
        line.part = findPart(session, row, kind, sizes).code;
        mustBeNewLot(session, line);
        const UtcTime utc = counted_on ? UtcTime::startOf(*counted_on) : session.shop.now();
        if (measured) {
            try {
                addReading(session.shop, {line.part, line.bin, line.condition, *measured, utc});
            } catch (const FieldError& error) {
                throw FieldError(error.column() == "reading_mm" ? "measured_mm" : error.column(),
                                 error.what());
            }
        }
        if (line.quantity == 0) return;
        LedgerPosting posting(session.shop.connection(), utc);
        posting.post(line);
        posting.finish();
        ++session.report.movements;
    });
}

void readReading(ImportSession& session, ImportRow& row) {
    ThicknessReading reading;
    reading.part = row.filled("part");
    reading.bin = row.filled("bin");
    reading.condition = row.word("condition", parseCondition);
    reading.utc = row.utc("utc");
    reading.reading = row.length("reading_mm");
    if (row.good()) row.attempt([&] { addReading(session.shop, reading); });
}

} // namespace shimledger::inventory
