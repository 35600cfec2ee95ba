// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/app_settings.h"
#include "app/desk/desk_application.h"
#include "app/desk/early_fonts.h"
#include "app/desk/main_window.h"
#include "app/desk/start_report.h"
#include "app/desk/user_prompts.h"
#include "app/version/program_version.h"

#include <QCommandLineParser>

#include <clocale>
#include <iostream>
#include <optional>
#include <string>

namespace {

struct Options {
    Options() {
        parser.setApplicationDescription(QCoreApplication::translate(
            "main", "Keeps the drawers of a suspension shop true and finds stacks that open alike."));
        parser.addHelpOption();
        parser.addVersionOption();
        parser.addOption(demo);
        parser.addOption(time_start);
        parser.addPositionalArgument(QStringLiteral("SHOP.db"),
                                     QCoreApplication::translate("main", "The shop file to open."),
                                     QStringLiteral("[SHOP.db]"));
    }
    const QCommandLineOption demo{
        QStringLiteral("demo"),
        QCoreApplication::translate("main", "Make the demo shop in this folder and open it."),
        QStringLiteral("DIR")};
    const QCommandLineOption time_start{
        QStringLiteral("time-start"),
        QCoreApplication::translate("main",
                                    "Write \"usable\" when the window takes input and \"settled\" when "
                                    "nothing is under way any more, and end: for timing the start.")};
    QCommandLineParser parser;
};

} // namespace

int main(int argc, char** argv) {
    // Before Qt looks for a display, which this needs not.
    if (argc == 2 && (std::string(argv[1]) == "--version" || std::string(argv[1]) == "-v")) {
        std::cout << shimledger::version::versionText("shimledger-desk", std::string("Qt ") + QT_VERSION_STR)
                  << '\n';
        return 0;
    }
    if (argc == 2 && (std::string(argv[1]) == "--help" || std::string(argv[1]) == "-h")) {
        const QCoreApplication application(argc, argv);
        Options().parser.process(application);
    }
    const shimledger::desk::EarlyFonts fonts;
    shimledger::desk::DeskApplication application(argc, argv);
    // QApplication takes the user's locale over into C; numbers in files must not follow it.
    std::setlocale(LC_NUMERIC, "C");
    QApplication::setApplicationName(QStringLiteral("shimledger-desk"));
    QApplication::setDesktopFileName(QStringLiteral("shimledger-desk")); // finds the icon
    QApplication::setApplicationVersion(QString::fromStdString(shimledger::version::programVersion()));

    Options options;
    options.parser.process(application);

    shimledger::desk::AppSettings settings;
    shimledger::desk::DialogPrompts prompts;
    shimledger::desk::MainWindow window(settings, prompts);
    std::optional<shimledger::desk::StartReport> report;
    if (options.parser.isSet(options.time_start)) {
        report.emplace(window, [&window] { return window.busy(); });
    }
    // The shop before the window, so that only the page that is looked at is laid out.
    if (options.parser.isSet(options.demo)) {
        window.makeDemo(options.parser.value(options.demo));
    } else if (!options.parser.positionalArguments().isEmpty()) {
        window.openShop(options.parser.positionalArguments().constFirst());
    }
    window.show();
    return QApplication::exec();
}
