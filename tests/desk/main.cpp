// SPDX-License-Identifier: GPL-3.0-or-later
#define CATCH_CONFIG_RUNNER
#include <catch2/catch.hpp>

#include "watched_application.h"

#include <QLocale>

#include <clocale>

int main(int argc, char** argv) {
    qputenv("QT_QPA_PLATFORM", "offscreen"); // no display is needed, and none is used
    QLocale::setDefault(QLocale::c());
    const shimledger::desk::testing::WatchedApplication application(argc, argv);
    std::setlocale(LC_ALL, "C");
    const int result = Catch::Session().run(argc, argv);
    return application.escaped() > 0 && result == 0 ? 1 : result;
}
