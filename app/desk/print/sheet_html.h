// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/pick_list.h"
#include "app/services/reorder.h"

#include <QString>
#include <QStringList>

#include <vector>

namespace shimledger::desk {

/// The sheets that leave on paper, as the HTML subset that QTextDocument lays out. Everything that comes from
/// the shop file is escaped.
[[nodiscard]] QString pickSheetHtml(const services::ComponentPick& pick);
[[nodiscard]] QString reorderSheetHtml(const services::ReorderPlan& plan);

/// A plain table under a title, for counts and for whatever a page shows.
struct SheetTable {
    QString title;
    QString note; ///< a line beneath the title; may be empty
    QStringList columns;
    std::vector<QStringList> rows;
    QString picture; ///< name of an image resource above the table; may be empty
};
[[nodiscard]] QString tableSheetHtml(const SheetTable& table);

} // namespace shimledger::desk
