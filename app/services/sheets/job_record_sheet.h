// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/job_record.h"
#include "app/services/sheets/paper_size.h"

#include "inventory/output_file.h"

namespace shimledger::services {

/// Writes the record of a job as .xlsx, to be handed over and kept. Errors and what may be replaced:
/// sheet_writer.h.
void writeJobRecordSheet(const JobRecord& record, const inventory::OutputTarget& target,
                         PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
