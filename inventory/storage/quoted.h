// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

namespace shimledger::inventory {

/// A text as it may stand in a sentence: in quotes, cut after 60 bytes (at a letter's end), control
/// characters written as blanks. Never use it on a customer's name.
[[nodiscard]] std::string inQuotes(std::string_view text);

/// "an outer diameter", "a thickness"
[[nodiscard]] std::string withArticle(std::string_view noun);

/// True if the bytes are well-formed UTF-8.
[[nodiscard]] bool isUtf8(std::string_view text);

/// Throws FieldError for `column` unless the text may be a code: 1 to 100 bytes of UTF-8, no control
/// characters, no blank at either end. `noun` names it in the sentence: "part code".
void checkCode(std::string_view text, std::string_view noun, std::string_view column);

/// Throws FieldError for `column` if a free text is not UTF-8 or longer than 4 MiB.
void checkFreeText(std::string_view text, std::string_view noun, std::string_view column);

} // namespace shimledger::inventory
