// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/length_text.h"
#include "inventory/shop_file.h"
#include "inventory/strip_record.h"

#include <QString>

#include <string>

namespace shimledger::desk {

/// A typed row as it is kept: in millimetres, so that it reads the same whatever the settings come to say.
/// Throws InputError as services::parseStripRow does.
[[nodiscard]] QString stripInMillimetres(const QString& typed, SizeUnit bare);
/// The other way: a kept row as it would be typed; one that cannot be read is left as it is.
[[nodiscard]] QString stripAsTyped(const QString& kept, SizeUnit bare);
/// Reads a row that is kept.
[[nodiscard]] inventory::StripRow readStripRow(const QString& kept);
/// A row as it is kept.
[[nodiscard]] QString stripRowText(const inventory::StripRow& row);
/// How the legs of the job differ and what is still to go back to the drawers, in sentences, as rich text.
[[nodiscard]] QString stripSides(inventory::ShopFile& shop, const std::string& job, double working_lift_mm);

} // namespace shimledger::desk
