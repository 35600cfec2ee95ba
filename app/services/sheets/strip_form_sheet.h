// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheets/paper_size.h"
#include "app/services/strip_form.h"

#include "inventory/output_file.h"

namespace shimledger::services {

/// Writes the form: one page a leg with rows to fill in, one page for the inspection. Errors and what
/// may be replaced: sheet_writer.h.
void writeStripFormSheet(const StripForm& form, const inventory::OutputTarget& target,
                         PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
