// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>
#include <QStringList>

#include <string>

namespace shimledger::desk {

// What the sheets on paper are put together from.

inline const QString html_tick_box(QChar(0x2610));

[[nodiscard]] QString htmlText(const std::string& text); ///< of the shop file: escaped
[[nodiscard]] QString htmlPage(const QString& body);
[[nodiscard]] QString htmlRow(const QStringList& cells, const QString& tag = QStringLiteral("td"));
[[nodiscard]] QString htmlGrid(const QStringList& columns, const QString& rows);
/// Begins a new page before it.
[[nodiscard]] QString htmlHeadingOnNewPage(const QString& text);

} // namespace shimledger::desk
