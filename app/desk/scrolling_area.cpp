// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/scrolling_area.h"

#include <QScrollArea>

namespace shimledger::desk {

QWidget* scrollingArea(QWidget* page) {
    auto* area = new QScrollArea;
    area->setWidget(page);
    area->setWidgetResizable(true);
    area->setFrameShape(QFrame::NoFrame);
    area->setFocusPolicy(Qt::NoFocus);
    page->setAutoFillBackground(false); // the ground is that of what the area lies on
    area->viewport()->setAutoFillBackground(false);
    return area;
}

} // namespace shimledger::desk
