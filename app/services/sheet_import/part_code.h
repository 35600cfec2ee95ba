// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/part.h"

#include <string>

namespace shimledger::services {

/// The code that the shop gives to a part that has none: "SH-24.0-6-0.10" for a shim, "OR-18.64-3.53" for an
/// O-ring. Empty where the part has no sizes to name it by.
[[nodiscard]] std::string suggestedCode(const inventory::Part& part);

} // namespace shimledger::services
