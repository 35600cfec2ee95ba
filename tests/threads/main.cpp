// SPDX-License-Identifier: GPL-3.0-or-later
#define CATCH_CONFIG_RUNNER
#include <catch2/catch.hpp>

#include <QCoreApplication>

int main(int argc, char** argv) {
    // What a worker brings comes by the event loop.
    const QCoreApplication application(argc, argv);
    return Catch::Session().run(argc, argv);
}
