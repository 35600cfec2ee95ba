// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QModelIndex>

#include <functional>
#include <vector>

class QAbstractItemView;
class QAction;
class QMenu;

namespace shimledger::desk {

/// What can be done with a row, by the right button or the menu key: `fill` puts it into the menu, asked anew
/// each time and for a row that is there. With nothing in it no menu comes.
void giveRowMenu(QAbstractItemView& view, std::function<void(QMenu&, const QModelIndex&)> fill);

/// The same of actions that the window has anyway, which know by themselves what they can be done with; a
/// nullptr parts them.
void giveRowMenu(QAbstractItemView& view, std::vector<QAction*> actions);

} // namespace shimledger::desk
