// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QAbstractItemModel>
#include <QStringList>

#include <vector>

namespace shimledger::desk {

/// What a table shows, as text, to be printed.
[[nodiscard]] inline QStringList columnTitles(const QAbstractItemModel& model) {
    QStringList titles;
    for (int column = 0; column < model.columnCount(); ++column) {
        titles << model.headerData(column, Qt::Horizontal).toString();
    }
    return titles;
}

[[nodiscard]] inline std::vector<QStringList> tableRows(const QAbstractItemModel& model) {
    std::vector<QStringList> rows;
    for (int row = 0; row < model.rowCount(); ++row) {
        QStringList cells;
        for (int column = 0; column < model.columnCount(); ++column) {
            cells << model.index(row, column).data().toString();
        }
        rows.push_back(cells);
    }
    return rows;
}

} // namespace shimledger::desk
