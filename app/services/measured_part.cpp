// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/parts_finder.h"

#include "planner/units/input_error.h"
#include "planner/units/small_letters.h"

#include <array>

namespace shimledger::services {

namespace {

using inventory::PartKind;

struct KindWord {
    std::string_view word;
    std::vector<PartKind> kinds;
};

const std::vector<KindWord>& kindWords() {
    static const std::vector<KindWord> words{{"o-ring", {PartKind::oRing}},
                                             {"o ring", {PartKind::oRing}},
                                             {"oring", {PartKind::oRing}},
                                             {"oil seal", {PartKind::oilSeal}},
                                             {"dust seal", {PartKind::dustSeal}},
                                             {"wiper", {PartKind::dustSeal}},
                                             {"seal", {PartKind::oilSeal, PartKind::dustSeal}},
                                             {"snap ring", {PartKind::snapRing}},
                                             {"circlip", {PartKind::snapRing}},
                                             {"bushing", {PartKind::bushing}},
                                             {"bush", {PartKind::bushing}},
                                             {"crush washer", {PartKind::washer}},
                                             {"washer", {PartKind::washer}},
                                             {"shim", {PartKind::shim}},
                                             {"disc", {PartKind::shim}}};
    return words;
}

// Takes the first kind that is named out of the text.
std::vector<PartKind> takeKind(std::string& text) {
    for (const KindWord& word : kindWords()) {
        const std::size_t at = text.find(word.word);
        if (at == std::string::npos) continue;
        std::size_t length = word.word.size();
        if (at + length < text.size() && text[at + length] == 's') ++length; // "orings"
        text.replace(at, length, " ");
        return word.kinds;
    }
    return {};
}

void replaceAll(std::string& text, std::string_view from, std::string_view to) {
    for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) {
        text.replace(at, from.size(), to);
    }
}

} // namespace

MeasuredPart parseMeasured(std::string_view typed, SizeUnit bare) {
    constexpr std::size_t most_bytes = 200;
    if (typed.size() > most_bytes) throw InputError("type what you measured, such as 23.9 x 6 x 0.148");
    std::string text = inSmallLetters(std::string(typed));
    MeasuredPart part;
    part.kinds = takeKind(text);
    replaceAll(text, "\xc3\x97", " "); // the multiplication sign
    for (char& c : text) {
        if (c == 'x' || c == '*' || c == '\t' || c == '\n' || c == '\r') c = ' ';
    }
    const std::vector<SizeWord> words = sizeWords(text);
    refuseSharedUnit(words, bare);
    for (const SizeWord& word : words) {
        if (!looksTyped(word.text) && word.text[0] != '-') {
            throw InputError(
                "'" + word.text.substr(0, 40) +
                "' names no kind of part: write shim, o-ring, oil seal, dust seal, bushing, snap ring or "
                "washer");
        }
        const Length size = typedLength(word.text, bare).length;
        if (size <= Length())
            throw InputError("a size of " + word.text.substr(0, 40) + " cannot be measured");
        part.sizes.push_back(size);
    }
    if (part.sizes.empty() || part.sizes.size() > 3) {
        throw InputError("give one to three sizes, such as 23.9 x 6 x 0.148 or 18.6 x 3.5 o-ring");
    }
    return part;
}

} // namespace shimledger::services
