// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/kit_plan.h"
#include "app/services/sheets/paper_size.h"
#include "inventory/output_file.h"

namespace shimledger::services {

/// Writes what to keep, what to buy with totals that follow the packs typed in, what may run out, what is
/// dead, and coverage over money, as .xlsx. Errors and what may be replaced: sheet_writer.h.
void writeKitSheet(const KitResult& kit, const inventory::OutputTarget& target,
                   PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
