// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/pick_list.h"
#include "app/services/sheets/paper_size.h"

#include "inventory/output_file.h"

namespace shimledger::services {

/// Writes the pick list and a build sheet for each valve as .xlsx. Errors and what may be replaced:
/// sheet_writer.h.
void writePickListSheet(const ComponentPick& pick, const inventory::OutputTarget& target,
                        PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
