// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/understood_sheet.h"

#include <algorithm>

namespace shimledger::services {

namespace {

/// A row of totals is a word and numbers; a part that is called "Total care kit" has more to say.
bool onlyNumbersBehind(const RawRow& row, const RawCell* word) {
    return std::all_of(row.cells.begin(), row.cells.end(), [&](const RawCell& cell) {
        const std::string text = trimmed(cell.text);
        return &cell == word || text.empty() || cell.number || readWritten(splitUnit(text).number).readable();
    });
}

} // namespace

LineKind lineKind(const RawSheet& sheet, const SheetLayout& layout, const RawRow& row) {
    std::size_t filled = 0, same = 0;
    const RawRow* headings = layout.first_row > 0 ? &sheet.rows[layout.first_row - 1] : nullptr;
    const RawCell* first = nullptr;
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
        if (!row.cells[i].fault.empty()) return LineKind::data;
        const std::string text = trimmed(row.cells[i].text);
        if (text.empty()) continue;
        ++filled;
        if (first == nullptr) first = &row.cells[i];
        if (headings != nullptr && i < headings->cells.size() && trimmed(headings->cells[i].text) == text)
            ++same;
    }
    if (filled == 0) return LineKind::blank;
    if (filled >= 2 && same == filled) return LineKind::headings_again;
    if (!first->number && isTotalWord(first->text) && onlyNumbersBehind(row, first)) return LineKind::total;
    const bool reads_something =
        std::any_of(layout.columns.begin(), layout.columns.end(), [&](const SheetColumn& c) {
            return c.field != nullptr && c.place < row.cells.size() &&
                   !trimmed(row.cells[c.place].text).empty();
        });
    return reads_something ? LineKind::data : LineKind::other;
}

std::string lineText(const RawRow& row) {
    std::string text;
    for (const RawCell& cell : row.cells) {
        const std::string one = trimmed(cell.text);
        if (!one.empty()) text += (text.empty() ? "" : " | ") + one;
    }
    constexpr std::size_t most = 60;
    return text.size() > most ? text.substr(0, most) + "..." : text;
}

bool tooWide(const RawSheet& sheet, const SheetLayout& layout, const RawRow& row) {
    if (sheet.delimiter == 0) return false;
    for (std::size_t i = layout.width; i < row.cells.size(); ++i) {
        if (!trimmed(row.cells[i].text).empty()) return true;
    }
    return false;
}

} // namespace shimledger::services
