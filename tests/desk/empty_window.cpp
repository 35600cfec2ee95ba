// SPDX-License-Identifier: GPL-3.0-or-later
// desk_empty_window: what every program with a Qt window pays at its start; tests/desk/start-time times it
// beside the desk.
#include "app/desk/start_report.h"

#include <QApplication>
#include <QMainWindow>

int main(int argc, char** argv) {
    const QApplication application(argc, argv);
    QMainWindow window;
    window.resize(1280, 800);
    const shimledger::desk::StartReport report(window, [] { return false; });
    window.show();
    return QApplication::exec();
}
