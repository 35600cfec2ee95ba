#pragma once

#include "app/services/warp_check.h"

#include <iosfwd>
#include <string>

namespace shimledger::command {

/// The result for people, and as JSON after the contract of the command.
void tellSubstitutes(const services::CheckedSubstitutes& checked, std::ostream& out);
[[nodiscard]] std::string substitutesJson(const services::CheckedSubstitutes& checked);
/// One proposal of it, as the contract of the command has it.
[[nodiscard]] std::string proposalJsonText(const planner::SubstituteProposal& proposal);
/// The exit code that the status stands for.
[[nodiscard]] int exitCodeOf(planner::SubstituteStatus status);

} // namespace shimledger::command
