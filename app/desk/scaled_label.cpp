// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/scaled_label.h"

#include <QApplication>
#include <QEvent>

namespace shimledger::desk {

ScaledLabel::ScaledLabel(double factor, bool bold, QWidget* parent)
    : QLabel(parent), m_factor(factor), m_bold(bold) {
    scale();
}

void ScaledLabel::scale() {
    QFont scaled = QApplication::font();
    scaled.setPointSizeF(scaled.pointSizeF() * m_factor);
    scaled.setBold(m_bold);
    setFont(scaled);
}

bool ScaledLabel::event(QEvent* event) {
    if (event->type() == QEvent::ApplicationFontChange) {
        scale();
    }
    return QLabel::event(event);
}

} // namespace shimledger::desk
