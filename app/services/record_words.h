// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/job_record.h"

#include <string>
#include <vector>

namespace shimledger::services {

/// One part of a sheet, said once for the spreadsheet and for paper: a table, sentences, or both.
struct RecordTable {
    std::string title;
    std::vector<std::string> columns;
    std::vector<std::vector<std::string>> rows; ///< as many cells as there are columns
    std::vector<std::string> sentences;         ///< beneath the table
};

[[nodiscard]] std::string recordTitle(const JobRecord& record);
[[nodiscard]] std::vector<std::string> recordHead(const JobRecord& record);
[[nodiscard]] std::vector<RecordTable> recordTables(const JobRecord& record);

} // namespace shimledger::services
