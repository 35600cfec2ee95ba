// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace shimledger {

/// The text with A to Z in small letters, whatever the locale; other letters stay.
[[nodiscard]] inline std::string inSmallLetters(std::string text) {
    for (char& c : text) {
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    }
    return text;
}

} // namespace shimledger
