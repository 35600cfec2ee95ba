// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/pull_list.h"

#include <QListWidget>

namespace shimledger::desk {

void dressPulls(QListWidget& list) {
    constexpr int least_lines = 3;
    list.setSelectionMode(QAbstractItemView::NoSelection);
    list.setMinimumHeight(least_lines * list.fontMetrics().lineSpacing());
    list.setTextElideMode(Qt::ElideNone);
}

} // namespace shimledger::desk
