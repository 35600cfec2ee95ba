// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/bin.h"
#include "inventory/shop_file.h"

#include <string_view>

namespace shimledger::services {

/// The bin that a scanner or a person has typed: line ends and blanks around it are dropped; where no bin is
/// called exactly that, letters may differ in size as long as only one bin fits (some scanners send
/// capitals). Throws InputError with what was read when no bin, or more than one, is meant.
[[nodiscard]] inventory::Bin binOfScan(inventory::ShopFile& shop, std::string_view typed);

} // namespace shimledger::services
