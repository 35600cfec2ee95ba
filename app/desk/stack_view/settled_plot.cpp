// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/stack_view/settled_plot.h"

#include "app/desk/guard.h"

namespace shimledger::desk {

SettledPlot::SettledPlot(QWidget* parent) : QCustomPlot(parent) {
    m_first_drawing.setSingleShot(true);
    m_first_drawing.setInterval(0);
    guarded(&m_first_drawing, &QTimer::timeout, this, [this] {
        m_drawn = true;
        setViewport(rect());
        replot(rpQueuedRefresh);
    });
}

void SettledPlot::resizeEvent(QResizeEvent* event) {
    if (m_drawn) {
        QCustomPlot::resizeEvent(event);
    }
}

void SettledPlot::paintEvent(QPaintEvent* event) {
    if (m_drawn) {
        QCustomPlot::paintEvent(event);
    } else {
        m_first_drawing.start();
    }
}

} // namespace shimledger::desk
