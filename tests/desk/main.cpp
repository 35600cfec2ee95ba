#define CATCH_CONFIG_RUNNER
#include <catch2/catch.hpp>

#include <QApplication>
#include <QLocale>

#include <clocale>

int main(int argc, char** argv) {
    qputenv("QT_QPA_PLATFORM", "offscreen"); // no display is needed, and none is used
    QLocale::setDefault(QLocale::c());
    QApplication application(argc, argv);
    std::setlocale(LC_ALL, "C");
    return Catch::Session().run(argc, argv);
}
