// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/purchase_advice.h"
#include "app/services/stock_to_request.h"
#include "app/services/warp_check.h"
#include "app/services/wish_advice.h"

#include <iosfwd>
#include <string>

namespace shimledger::command {

/// The result for people, and as JSON after the contract of the command. `purchase`: what would make an
/// impossible job possible; `wish`: what would help where nothing is near a wanted curve. Both are empty
/// where nobody asked.
void tellSubstitutes(const services::SearchSettings& settings, const services::CheckedSubstitutes& checked,
                     const services::PurchaseAdvice& purchase, const services::WishAdvice& wish,
                     std::ostream& out);
[[nodiscard]] std::string substitutesJson(const services::SearchSettings& settings,
                                          const services::CheckedSubstitutes& checked,
                                          const services::PurchaseAdvice& purchase,
                                          const services::WishAdvice& wish);
/// One proposal of it, as the contract of the command has it.
[[nodiscard]] std::string proposalJsonText(const planner::SubstituteProposal& proposal);
/// The exit code that the status stands for.
[[nodiscard]] int exitCodeOf(planner::SubstituteStatus status);

} // namespace shimledger::command
