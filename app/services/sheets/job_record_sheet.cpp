// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/job_record_sheet.h"

#include "app/services/record_words.h"
#include "app/services/sheets/sheet_writer.h"

#include <algorithm>

namespace shimledger::services {

namespace {

constexpr int last_column = 4;

} // namespace

void writeJobRecordSheet(const JobRecord& record, const inventory::OutputTarget& target, PaperSize paper) {
    const std::string title = recordTitle(record);
    SheetWriter writer(target, "job record", title, record.made, paper);
    writer.addSheet("Record", title, false, {10, 32, 16, 13, 34});
    int row = 1;
    const auto sentence = [&](const std::string& text, Look look) {
        row = writer.putText(row, 0, last_column, text, look);
    };
    for (const std::string& line : recordHead(record)) sentence(line, Look::note);
    for (const RecordTable& table : recordTables(record)) {
        ++row;
        sentence(table.title, Look::heading);
        if (!table.columns.empty()) {
            for (std::size_t column = 0; column < table.columns.size(); ++column)
                writer.put(row, static_cast<int>(column), textCell(table.columns[column]), Look::note);
            ++row;
        }
        for (const auto& cells : table.rows) {
            for (std::size_t column = 0; column < cells.size(); ++column)
                writer.put(row, static_cast<int>(column), textCell(cells[column]), Look::wrapped);
            ++row;
        }
        for (const std::string& line : table.sentences) sentence(line, Look::wrapped);
    }
    row += 2;
    writer.putAcross(row, 0, 1, "Handed over by", Look::wrapped, 2);
    writer.putAcross(row, 2, last_column, "", Look::wrapped, 2);
    ++row;
    writer.putAcross(row, 0, 1, "Date", Look::wrapped, 2);
    writer.putAcross(row, 2, last_column, "", Look::wrapped, 2);
    writer.finish();
}

} // namespace shimledger::services
