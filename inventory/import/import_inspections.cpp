// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/import/import_session.h"
#include "inventory/storage/field_error.h"
#include "inventory/strip_record.h"
#include "inventory/wear_finding.h"

namespace shimledger::inventory {

namespace {

// "0.148 0.151": readings parted by blanks.
std::vector<Length> parseReadings(std::string_view text) {
    std::vector<Length> readings;
    while (!text.empty()) {
        const std::size_t end = text.find(' ');
        if (end != 0) readings.push_back(Length::parseMillimetres(text.substr(0, end)));
        text = end == std::string_view::npos ? std::string_view() : text.substr(end + 1);
    }
    return readings;
}

} // namespace

void readStripRow(ImportSession& session, ImportRow& row) {
    const std::string job = row.filled("job");
    const int leg = row.small("leg", 1, 4);
    const std::int64_t position = row.whole("position", 1, 1000);
    StripRow disc;
    disc.count = row.whole("count", 1, 1000);
    disc.od = row.length("od_mm");
    if (row.has("readings_mm")) disc.readings = row.word("readings_mm", parseReadings);
    disc.part = row.text("part");
    if (row.has("scrap")) disc.scrap = row.whole("scrap", 0, 1000);
    disc.scrap_reason = row.text("scrap_reason");
    disc.bin = row.text("bin");
    UtcTime utc = session.shop.now();
    if (row.has("utc")) utc = row.utc("utc");
    if (!row.good()) return;
    row.attempt([&] {
        StripRecords records(session.shop);
        StripSheet sheet = records.find(job, leg).value_or(StripSheet{job, leg, {}, {}});
        if (position != static_cast<std::int64_t>(sheet.rows.size()) + 1) {
            throw FieldError("position", "the row is number " + std::to_string(position) + ", but leg " +
                                             std::to_string(leg) + " has " +
                                             std::to_string(sheet.rows.size()) +
                                             " rows so far: number them 1, 2, 3 ... in order");
        }
        sheet.utc = utc;
        sheet.rows.push_back(std::move(disc));
        records.set(sheet);
    });
}

void readWearFinding(ImportSession& session, ImportRow& row) {
    WearFinding finding;
    finding.job = row.filled("job");
    finding.leg = row.small("leg", 0, 4);
    finding.part = row.text("part");
    finding.place = row.text("place");
    if (row.has("worn_percent")) finding.worn_percent = row.small("worn_percent", 0, 100);
    if (row.has("state")) finding.state = row.word("state", parseWearState);
    finding.decision = row.word("decision", parseWearDecision);
    if (row.has("quantity")) finding.quantity = row.whole("quantity", 1, 1'000'000'000);
    finding.reason = row.text("reason");
    finding.note = row.text("note");
    if (row.has("utc")) finding.utc = row.utc("utc");
    if (row.good()) row.attempt([&] { WearBook(session.shop).record(finding); });
}

} // namespace shimledger::inventory
