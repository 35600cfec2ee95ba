// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/desk_application.h"

#include <QApplication>

#include <cstdio>
#include <exception>

namespace shimledger::desk::testing {

/// Counts what reaches the event loop although every slot is guarded; a test program in which any has ends
/// with a failure.
class WatchedApplication : public QApplication {
public:
    using QApplication::QApplication;

    bool notify(QObject* receiver, QEvent* event) override {
        try {
            return QApplication::notify(DeskApplication::meantFor(receiver, *event), event);
        } catch (const std::exception& thrown) {
            std::fprintf(stderr, "escaped to the event loop: %s\n", thrown.what());
        } catch (...) {
            std::fputs("escaped to the event loop: no exception\n", stderr);
        }
        ++m_escaped;
        return true;
    }
    [[nodiscard]] int escaped() const { return m_escaped; }
    [[nodiscard]] static int escapedSoFar() { return static_cast<WatchedApplication*>(qApp)->escaped(); }

private:
    int m_escaped = 0;
};

} // namespace shimledger::desk::testing
