#pragma once

#include "planner/substitute/substitute_request.h"

#include <string>

namespace shimledger::planner {

/// One sentence naming the first rule that the request breaks; empty where it makes sense.
[[nodiscard]] std::string whatIsWrongWith(const SubstituteRequest& request);

} // namespace shimledger::planner
