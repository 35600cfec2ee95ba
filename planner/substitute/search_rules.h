// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"

#include <string>
#include <string_view>
#include <vector>

namespace shimledger::planner {

/// One rule or limit of the search, declared once: from it follow the option of the command and its help, the
/// JSON of an answer, and the field and its tip on the window's Rules page. Its value is a text as typed:
/// "yes" or "no", a number with a decimal point, words with commas between them, or points of a curve.
struct SearchRule {
    enum class Kind { yes_no, millimetres, count, number, percent, seconds, words, rows, choice, curve };

    const char* name = ""; ///< of the option, "crossover-gap"; in JSON and kept drafts with _ for -
    Kind kind = Kind::yes_no;
    double least = 0, most = 0; ///< of a number
    const char* label = "";     ///< of the field in the window; empty: set elsewhere, not on that page
    const char* help = "";      ///< one sentence
    std::vector<std::string> choices;
    std::string (*text)(const SubstituteRules&, const SearchLimits&) = nullptr;
    void (*put)(const std::string&, SubstituteRules&, SearchLimits&) = nullptr; ///< a text that was checked

    [[nodiscard]] std::string key() const;      ///< name with _ for -
    [[nodiscard]] std::string standard() const; ///< the default
    [[nodiscard]] std::string
    rangeText() const; ///< " (0 to 10)", or the choices; empty for yes or no and words
};

/// All of them, in the order in which help and page show them.
[[nodiscard]] const std::vector<SearchRule>& searchRules();

/// Throws InputError, with the name of the rule and what would be right, where the text is no value of it.
void setRule(const SearchRule& rule, const std::string& text, SubstituteRules& rules, SearchLimits& limits);

} // namespace shimledger::planner
