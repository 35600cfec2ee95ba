// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/stock_movement.h"

#include "inventory/storage/quoted.h"
#include "planner/units/input_error.h"

#include <array>
#include <stdexcept>

namespace shimledger::inventory {

namespace {

struct KindWord {
    MovementKind kind;
    std::string_view name;
};
constexpr std::array<KindWord, 9> kind_words{{{MovementKind::receipt, "receipt"},
                                              {MovementKind::reserve, "reserve"},
                                              {MovementKind::release, "release"},
                                              {MovementKind::issue, "issue"},
                                              {MovementKind::returned, "return"},
                                              {MovementKind::scrap, "scrap"},
                                              {MovementKind::count, "count"},
                                              {MovementKind::move, "move"},
                                              {MovementKind::reversal, "reversal"}}};

} // namespace

std::string_view movementKindName(MovementKind kind) {
    for (const KindWord& word : kind_words) {
        if (word.kind == kind) return word.name;
    }
    throw std::logic_error("a kind of movement is missing in the table of words");
}

MovementKind parseMovementKind(std::string_view text) {
    for (const KindWord& word : kind_words) {
        if (word.name == text) return word.kind;
    }
    throw InputError(inQuotes(text) +
                     " is no movement: write receipt, reserve, release, issue, return, scrap, count, "
                     "move or reversal");
}

} // namespace shimledger::inventory
