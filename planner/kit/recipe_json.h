// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/kit/kit_plan.h"

#include <string_view>
#include <vector>

namespace shimledger::planner {

/// Stacks that are expected, with a number a year; each a stack as in STACK.json with three fields more:
///   {"recipes": [{"name": "trail, soft", "jobs_a_year": 6, "legs": 2, "valve": {...}, "discs": [...]}, ...]}
/// legs is 2 where it is not given, a "flow" is passed over. Throws InputError naming the recipe and the
/// field.
[[nodiscard]] std::vector<WantedStack> parseRecipeJson(std::string_view json);

} // namespace shimledger::planner
