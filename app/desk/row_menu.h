// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QModelIndex>

#include <functional>

class QAbstractItemView;
class QMenu;

namespace shimledger::desk {

/// What can be done with a row, by the right button or the menu key: `fill` puts it into the menu, asked anew
/// each time and for a row that is there. With nothing in it no menu comes.
void giveRowMenu(QAbstractItemView& view, std::function<void(QMenu&, const QModelIndex&)> fill);

} // namespace shimledger::desk
