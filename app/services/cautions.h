// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

namespace shimledger::services {

/// What a person must know before opening and after closing a component, one or two sentences each, in the
/// order of the work. Shown on the build sheet and wherever a pick list is given out.
[[nodiscard]] const std::vector<std::string>& workCautions();

/// What a person must know who reads forces or ratios of damping.
[[nodiscard]] const std::vector<std::string>& dampingCautions();

} // namespace shimledger::services
