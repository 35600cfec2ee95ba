// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/bin_labels.h"
#include "app/services/sheets/paper_size.h"
#include "inventory/calendar.h"
#include "inventory/output_file.h"

namespace shimledger::services {

/// Writes the labels, three beside each other, ready to be printed and cut. Errors and what may be replaced:
/// sheet_writer.h.
void writeBinLabelSheet(const std::vector<BinLabel>& labels, inventory::UtcTime made,
                        const inventory::OutputTarget& target, PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
