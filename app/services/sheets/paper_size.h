// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string_view>

namespace shimledger::services {

enum class PaperSize { a4, letter };

/// "a4" or "letter", in capitals too; throws InputError otherwise.
[[nodiscard]] PaperSize parsePaperSize(std::string_view text);

} // namespace shimledger::services
