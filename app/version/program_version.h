// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace shimledger::version {

[[nodiscard]] std::string programVersion(); ///< "0.1.0"

/// Number, commit, schema and libraries, a line each, for `--version` and reports of faults. `more_libraries`
/// are those that only this program uses.
[[nodiscard]] std::string versionText(const std::string& program, const std::string& more_libraries = {});

} // namespace shimledger::version
