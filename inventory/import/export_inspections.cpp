// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/csv_writer.h"
#include "inventory/import/export_tables.h"
#include "inventory/job_book.h"
#include "inventory/strip_record.h"
#include "inventory/wear_finding.h"

namespace shimledger::inventory {

void writeStripRows(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"job", "leg", "position", "count", "od_mm", "readings_mm", "part", "scrap", "scrap_reason",
             "bin", "utc"});
    for (const Job& job : JobBook(shop).list()) {
        for (const StripSheet& sheet : StripRecords(shop).ofJob(job.code)) {
            int position = 0;
            for (const StripRow& row : sheet.rows) {
                std::string readings;
                for (const Length reading : row.readings) {
                    readings += (readings.empty() ? "" : " ") + reading.text(3);
                }
                csv.row({job.code, std::to_string(sheet.leg), std::to_string(++position),
                         std::to_string(row.count), csvLength(row.od), readings, row.part,
                         std::to_string(row.scrap), row.scrap_reason, row.bin, sheet.utc.text()});
            }
        }
    }
}

void writeWearFindings(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"job", "leg", "part", "place", "worn_percent", "state", "decision", "quantity", "reason", "note",
             "utc"});
    for (const Job& job : JobBook(shop).list()) {
        for (const WearFinding& f : WearBook(shop).ofJob(job.code)) {
            csv.row({f.job, std::to_string(f.leg), f.part, f.place, csvWhole(f.worn_percent),
                     std::string(wearStateName(f.state)), std::string(wearDecisionName(f.decision)),
                     std::to_string(f.quantity), f.reason, f.note, f.utc.text()});
        }
    }
}

} // namespace shimledger::inventory
