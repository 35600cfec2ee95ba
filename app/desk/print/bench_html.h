// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/bin_labels.h"
#include "app/services/sheets/paper_size.h"
#include "app/services/strip_form.h"

#include <QString>

#include <vector>

namespace shimledger::desk {

// What is taken to the bench and to the drawers on paper, as the HTML subset that QTextDocument lays out.

/// A page a leg with what was measured and rows left to fill in, and the inspection.
[[nodiscard]] QString stripFormHtml(const services::StripForm& form);
/// Three labels beside each other, whole ones on each page: the drawer's code, its mark for the scanner, and
/// what lies in it.
[[nodiscard]] QString labelSheetHtml(const std::vector<services::BinLabel>& labels,
                                     services::PaperSize paper);

} // namespace shimledger::desk
