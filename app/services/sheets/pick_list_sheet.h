// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/pick_list.h"
#include "app/services/sheets/paper_size.h"

#include "inventory/output_file.h"

namespace shimledger::services {

/// Writes the pick list and the build sheet as .xlsx. Errors and what may be replaced:
/// sheet_writer.h.
void writePickListSheet(const PickList& list, const inventory::OutputTarget& target,
                        PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
