// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/desk_application.h"

#include "app/desk/guard.h"

#include <QAbstractScrollArea>
#include <QAbstractSpinBox>
#include <QComboBox>
#include <QWidget>

namespace shimledger::desk {

namespace {

/// The number or the choice that the wheel would turn; null: none. The list of an open choice is no part of
/// it.
QWidget* turnedByWheel(QObject* receiver) {
    for (auto* widget = qobject_cast<QWidget*>(receiver); widget != nullptr && !widget->isWindow();
         widget = widget->parentWidget()) {
        if (qobject_cast<QAbstractSpinBox*>(widget) || qobject_cast<QComboBox*>(widget)) return widget;
    }
    return nullptr;
}

} // namespace

QObject* DeskApplication::meantFor(QObject* receiver, const QEvent& event) {
    QWidget* turned = event.type() == QEvent::Wheel ? turnedByWheel(receiver) : nullptr;
    if (turned == nullptr) return receiver;
    for (QWidget* around = turned->parentWidget(); around != nullptr; around = around->parentWidget()) {
        if (const auto* area = qobject_cast<QAbstractScrollArea*>(around)) return area->viewport();
    }
    return turned->parentWidget();
}

bool DeskApplication::notify(QObject* receiver, QEvent* event) {
    try {
        return QApplication::notify(meantFor(receiver, *event), event);
    } catch (...) {
        // The receiver may have gone; any window tells it, and not in the middle of painting.
        tellThrownLater(this, std::current_exception());
        return true;
    }
}

} // namespace shimledger::desk
