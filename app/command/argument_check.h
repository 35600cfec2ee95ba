// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace CLI {
class App;
class ParseError;
} // namespace CLI

namespace shimledger::command {

/// Makes every option of every verb refuse what would be misread: of numbers 010 (the parser's eight), 0x10,
/// what is beyond the range (the parser's largest), nan and inf; of words an empty one, which the verbs take
/// for an option that is not given. The sentence names the option. Only --class of reorder-class may be
/// empty: it means every other class.
void refuseMisreadValues(CLI::App& app);

/// What is wrong with the arguments, in one sentence: the option or verb, and what is near it or right.
[[nodiscard]] std::string sentenceOf(const CLI::App& app, const CLI::ParseError& error);

} // namespace shimledger::command
