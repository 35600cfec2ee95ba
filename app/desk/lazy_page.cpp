// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/lazy_page.h"

#include <QList>

namespace shimledger::desk {

namespace {

bool takesTab(const QWidget& widget) {
    return (widget.focusPolicy() & Qt::TabFocus) != 0 && widget.focusProxy() == nullptr;
}

} // namespace

void takePlaceInTabOrder(QWidget& holder) {
    QList<QWidget*> inside;
    for (QWidget* next = holder.nextInFocusChain(); next != &holder; next = next->nextInFocusChain()) {
        if (holder.isAncestorOf(next) && takesTab(*next)) inside << next;
    }
    QWidget* before = holder.previousInFocusChain();
    while (before != &holder && (holder.isAncestorOf(before) || !takesTab(*before))) {
        before = before->previousInFocusChain();
    }
    if (before == &holder) {
        return; // alone in its window
    }
    for (QWidget* widget : inside) {
        QWidget::setTabOrder(before, widget);
        before = widget;
    }
}

} // namespace shimledger::desk
