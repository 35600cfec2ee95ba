// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/stack/stack_spec.h"
#include "planner/stack/stack_text.h"

#include <string_view>

namespace shimledger::planner::test {

/// A stack in the valve of most tests: clamp 10, ports 13 to 20, bore 6 mm.
inline StackSpec inUsualValve(std::string_view text, double clamp_mm = 10) {
    const auto mm = Length::fromMillimetres;
    return {{mm(clamp_mm), mm(13), mm(20), mm(6), {}, {}}, parseStackText(text)};
}

} // namespace shimledger::planner::test
