// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

class QTableView;

namespace shimledger::desk {

/// What all tables of the window have in common: whole rows picked one at a time, Tab leaves the table, even
/// row heights, alternating ground, a header that tells its sorting, a frame about the current row. The table
/// has its model already.
void dressTable(QTableView& table);

/// One column takes what width the others leave, but never less than `least_pixels`: then the table scrolls.
void stretchColumn(QTableView& table, int column, int least_pixels);

/// In pixels, of the table with so many rows and no bar to scroll sideways.
[[nodiscard]] int heightOfRows(const QTableView& table, int rows);

/// Makes the table as tall as its rows where there is room, never lower or taller than these many rows.
void fitTableHeight(QTableView& table, int least_rows, int most_rows);

} // namespace shimledger::desk
