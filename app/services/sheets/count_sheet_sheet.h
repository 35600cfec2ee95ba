// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/count_sheet.h"
#include "app/services/sheets/paper_size.h"

#include "inventory/output_file.h"

namespace shimledger::services {

/// Writes the sheet to be filled in by hand or on screen; it is read back by readCountSheet. Errors and
/// what may be replaced: sheet_writer.h.
void writeCountSheet(const CountSheet& sheet, const inventory::OutputTarget& target,
                     PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
