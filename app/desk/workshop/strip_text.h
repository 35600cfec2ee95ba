// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"
#include "inventory/strip_record.h"

#include <QString>

#include <string>

namespace shimledger::desk {

/// A typed row with decimal commas as points and inches ("0.006in") as millimetres.
[[nodiscard]] QString stripInMillimetres(const QString& typed);
/// Reads what stripInMillimetres makes of it; throws InputError as services::parseStripRow does.
[[nodiscard]] inventory::StripRow readStripRow(const QString& typed);
/// A row as it would be typed.
[[nodiscard]] QString stripRowText(const inventory::StripRow& row);
/// How the legs of the job differ and what is still to go back to the drawers, in sentences, as rich text.
[[nodiscard]] QString stripSides(inventory::ShopFile& shop, const std::string& job, double working_lift_mm);

} // namespace shimledger::desk
