// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/folded_text.h"

#include <cstdint>
#include <sstream>

namespace shimledger::services {

namespace {

/// Of the letters that UTF-8 writes in two bytes. The blocks are those of the Unicode standard.
std::uint32_t smallLetter(std::uint32_t letter) {
    const auto within = [letter](std::uint32_t first, std::uint32_t last) {
        return letter >= first && letter <= last;
    };
    if (within(0xC0, 0xDE) && letter != 0xD7) return letter + 0x20;
    if (within(0x100, 0x137) || within(0x14A, 0x177)) return letter | 1U;         // capitals are even
    if (within(0x139, 0x148) || within(0x179, 0x17E)) return letter + letter % 2; // capitals are odd
    if (within(0x391, 0x3A9) || within(0x410, 0x42F)) return letter + 0x20;
    if (within(0x400, 0x40F)) return letter + 0x50;
    return letter;
}

} // namespace

std::string folded(std::string_view utf8) {
    std::string text(utf8);
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto byte = static_cast<unsigned char>(text[i]);
        if (byte >= 'A' && byte <= 'Z') {
            text[i] = static_cast<char>(byte + ('a' - 'A'));
        } else if (byte >= 0xC2 && byte <= 0xDF && i + 1 < text.size()) {
            const auto next = static_cast<unsigned char>(text[i + 1]);
            if ((next & 0xC0U) != 0x80U) continue;
            const std::uint32_t letter = smallLetter(((byte & 0x1FU) << 6U) | (next & 0x3FU));
            text[i] = static_cast<char>(0xC0U | (letter >> 6U));
            text[++i] = static_cast<char>(0x80U | (letter & 0x3FU));
        }
    }
    return text;
}

std::vector<std::string> foldedWords(std::string_view utf8) {
    std::istringstream words(folded(utf8));
    std::vector<std::string> found;
    for (std::string word; words >> word;) found.push_back(word);
    return found;
}

} // namespace shimledger::services
