// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QApplication>

namespace shimledger::desk {

/// The net beneath the guards (guard.h): what an event handler throws all the same ends here instead of
/// ending the program, and is told by the window. It has passed through frames of Qt by then, so it is no
/// place to rely on.
class DeskApplication : public QApplication {
    Q_OBJECT

public:
    using QApplication::QApplication;

    bool notify(QObject* receiver, QEvent* event) override;
    /// Whoever turns the wheel means to scroll: a number or a choice that it would change on its way is
    /// passed over, so what is around it gets the event.
    [[nodiscard]] static QObject* meantFor(QObject* receiver, const QEvent& event);
};

} // namespace shimledger::desk
