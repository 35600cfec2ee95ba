// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheets/paper_size.h"

#include "inventory/calendar.h"
#include "inventory/output_file.h"

namespace shimledger::services {

/// Writes a workbook to fill in: headings that `stock import` knows, an example line above them (which it
/// passes over), lists of kinds and conditions to choose from. Errors and what may be replaced:
/// sheet_writer.h.
void writeStockTemplate(inventory::UtcTime made, const inventory::OutputTarget& target,
                        PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
