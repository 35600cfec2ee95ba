// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/csv_guard.h"

namespace shimledger::inventory {

namespace {

bool isPlainNumber(std::string_view cell) {
    if (cell.front() == '-' || cell.front() == '+') cell.remove_prefix(1);
    bool digit = false;
    bool point = false;
    for (const char c : cell) {
        if (c == '.' && !point) {
            point = true;
        } else if (c >= '0' && c <= '9') {
            digit = true;
        } else {
            return false;
        }
    }
    return digit;
}

/// Apostrophes, if any, and then a sign that begins a formula.
bool beginsLikeFormula(std::string_view cell) {
    const std::size_t start = cell.find_first_not_of('\'');
    return start != std::string_view::npos &&
           std::string_view("=+-@\t\r\n").find(cell[start]) != std::string_view::npos;
}

} // namespace

bool needsGuard(std::string_view cell) {
    return beginsLikeFormula(cell) && !isPlainNumber(cell);
}

void removeGuard(std::string& cell) {
    if (!cell.empty() && cell.front() == '\'' && beginsLikeFormula(cell)) cell.erase(0, 1);
}

} // namespace shimledger::inventory
