// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

namespace shimledger::inventory {

/// A spreadsheet program takes a cell of a CSV file that begins with one of = + - @, tab or line end for a
/// formula. The usual remedy is an apostrophe before it (OWASP, "CSV Injection"). To stay lossless, a text
/// that begins with apostrophes and then such a sign gets one more, and reading takes one away. Plain numbers
/// ("-5", "-0.25") are left as they are.
[[nodiscard]] bool needsGuard(std::string_view cell);
/// Takes the apostrophe of a guarded cell away; leaves any other cell as it is.
void removeGuard(std::string& cell);

} // namespace shimledger::inventory
