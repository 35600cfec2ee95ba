// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"

#include <string>

namespace shimledger::planner {

/// One sentence naming the first rule that the request breaks; empty where it makes sense.
[[nodiscard]] std::string whatIsWrongWith(const SubstituteRequest& request);

/// The same rules up to another lift; where all of that is low speed, there is no high speed apart from it.
[[nodiscard]] SubstituteRules rulesUpTo(SubstituteRules rules, double lift_mm);

} // namespace shimledger::planner
