// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/shop_file.h"

#include <cstddef>
#include <string>
#include <vector>

namespace shimledger::inventory {

/// What of the kept changes of master data cannot be: numbers that are missing, a change that does not begin
/// at what the one before it left, a last change that does not say what stands there now. One sentence each,
/// at most so many.
[[nodiscard]] std::vector<std::string> changeFaults(const ShopFile& shop, std::size_t most);

} // namespace shimledger::inventory
