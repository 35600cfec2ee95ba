// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/units/near_name.h"

#include "planner/units/small_letters.h"

#include <algorithm>
#include <cstddef>
#include <limits>

namespace shimledger {

namespace {

constexpr std::size_t longest_compared = 100; // a code has no more bytes; the work grows with the square

/// Letters to add, drop, change or swap with their neighbour until both are the same.
std::size_t editsBetween(const std::string& a, const std::string& b) {
    std::vector<std::size_t> before_last, last(b.size() + 1), row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t changed = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, changed});
            const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
            if (swapped) row[j] = std::min(row[j], before_last[j - 2] + 1);
        }
        before_last = last;
        last = row;
    }
    return last[b.size()];
}

} // namespace

std::string nearName(std::string_view typed, const std::vector<std::string>& known) {
    if (typed.empty() || typed.size() > longest_compared) return {};
    const std::string wanted = inSmallLetters(std::string(typed));
    std::size_t fewest = std::numeric_limits<std::size_t>::max();
    const std::string* nearest = nullptr;
    for (const std::string& name : known) {
        const std::size_t longer = std::max(name.size(), wanted.size());
        const std::size_t shorter = std::min(name.size(), wanted.size());
        const std::size_t most = std::max<std::size_t>(1, longer / 3);
        if (name.empty() || longer > longest_compared || longer - shorter > most) continue;
        const std::size_t edits = editsBetween(wanted, inSmallLetters(std::string(name)));
        // Of a name of two letters one edit leaves half, of a single letter nothing.
        if (edits > most || edits >= shorter || edits >= fewest) continue;
        fewest = edits;
        nearest = &name;
    }
    return nearest == nullptr ? std::string() : *nearest;
}

std::string nearNameText(std::string_view typed, const std::vector<std::string>& known,
                         std::string_view otherwise) {
    const std::string near = nearName(typed, known);
    if (near.empty()) return otherwise.empty() ? std::string() : ": " + std::string(otherwise);
    return ": did you mean '" + near + "'?";
}

} // namespace shimledger
