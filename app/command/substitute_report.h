#pragma once

#include "planner/substitute/substitute_result.h"

#include <iosfwd>
#include <string>

namespace shimledger::command {

/// The result for people, and as JSON after the contract of the command.
void tellSubstitutes(const planner::SubstituteResult& result, std::ostream& out);
[[nodiscard]] std::string substitutesJson(const planner::SubstituteResult& result);
/// The exit code that the status stands for.
[[nodiscard]] int exitCodeOf(planner::SubstituteStatus status);

} // namespace shimledger::command
