// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk_fixture.h"

#include "app/services/shop_demo.h"
#include "inventory/shop_backup.h"
#include "inventory/shop_move.h"
#include "inventory/shop_server.h"
#include "tests/sanitized.h"

#include <QApplication>
#include <QElapsedTimer>
#include <QFile>
#include <QPrinter>

#include <filesystem>
#include <thread>

namespace shimledger::desk::testing {

bool ScriptedPrompts::confirm(QWidget* /*parent*/, const QString& /*title*/, const QString& sentence,
                              const QString& /*accept_text*/) {
    asked << sentence;
    if (at_confirm) at_confirm();
    return accept;
}

QString ScriptedPrompts::openShopPath(QWidget* /*parent*/, const QString& /*folder*/) {
    return next_path;
}
QString ScriptedPrompts::serverAddress(QWidget* parent, const QStringList& recent) {
    ServerDialog dialog(recent, parent);
    dialog.show();
    if (at_server) at_server(dialog);
    return dialog.result() == QDialog::Accepted ? dialog.address() : QString();
}
QString ScriptedPrompts::newShopPath(QWidget* /*parent*/, const QString& /*folder*/) {
    return next_path;
}
QString ScriptedPrompts::demoFolder(QWidget* /*parent*/, const QString& /*folder*/) {
    return next_path;
}

QString ScriptedPrompts::sheetPath(QWidget* /*parent*/, const QString& /*title*/, const QString& suggestion) {
    suggestions << suggestion;
    return next_path;
}

QString ScriptedPrompts::pdfPath(QWidget* /*parent*/, const QString& suggestion) {
    suggestions << suggestion;
    return next_path;
}

bool ScriptedPrompts::choosePrinter(QWidget* /*parent*/, QPrinter& printer) {
    printer.setOutputFormat(QPrinter::PdfFormat);
    printer.setOutputFileName(next_path);
    return accept;
}

QString ScriptedPrompts::importPath(QWidget* /*parent*/, const QString& /*folder*/) {
    return next_path;
}

QString ScriptedPrompts::importFolder(QWidget* /*parent*/, const QString& /*folder*/) {
    return next_path;
}

QString ScriptedPrompts::countSheetPath(QWidget* /*parent*/, const QString& suggestion) {
    suggestions << suggestion;
    return next_path;
}

QString ScriptedPrompts::filledCountSheet(QWidget* /*parent*/, const QString& /*folder*/) {
    return next_path;
}

std::optional<DeskChoices> ScriptedPrompts::editChoices(QWidget* /*parent*/, const DeskChoices& /*choices*/) {
    return chosen;
}

void ScriptedPrompts::askJob(QWidget* parent, const JobQuestion& question) {
    JobDialog dialog(question, parent);
    dialog.show();
    if (at_job) at_job(dialog);
    if (dialog.isVisible()) dialog.reject();
}

void ScriptedPrompts::tell(QWidget* /*parent*/, const QString& /*title*/, const QString& rich_text) {
    told = rich_text;
}

bool settle(const std::function<bool()>& done) {
#ifdef SHIMLEDGER_SANITIZED
    constexpr int patience_ms = 300000; // the same work takes ten times as long
#else
    constexpr int patience_ms = 30000;
#endif
    QElapsedTimer timer;
    timer.start();
    while (!done()) {
        if (timer.elapsed() > patience_ms) {
            return false;
        }
        QCoreApplication::processEvents(QEventLoop::AllEvents, 20);
        std::this_thread::sleep_for(std::chrono::milliseconds(2));
    }
    QCoreApplication::processEvents();
    return true;
}

namespace {

/// The one original; its folder goes when the program ends.
const std::filesystem::path& originalShop() {
    static const QTemporaryDir folder;
    static const std::filesystem::path shop = [] {
        services::DemoOptions options;
        options.seed_catalog = SHIMLEDGER_SEED_CATALOG;
        return services::makeDemoShop(std::filesystem::path(folder.path().toStdString()) / "demo", options)
            .shop_file;
    }();
    return shop;
}

/// The same on the server of the tests.
const std::string& originalOnServer() {
    static TestServer server;
    static const std::string address = [] {
        std::string empty = server.freshDatabase();
        inventory::prepareServer(empty);
        const QTemporaryDir folder;
        const std::filesystem::path file = folder.filePath(QStringLiteral("shop.db")).toStdString();
        std::filesystem::copy_file(originalShop(), file);
        static_cast<void>(inventory::moveShop(file, empty));
        return empty;
    }();
    return address;
}

} // namespace

DemoShopCopy::DemoShopCopy() : m_path(m_folder.filePath(QStringLiteral("shop.db"))) {
    if (m_server.wanted()) {
        m_path = QString::fromStdString(m_server.freshDatabase(originalOnServer()));
    } else {
        std::filesystem::copy_file(originalShop(), m_path.toStdString());
    }
}

QString DemoShopCopy::path() const {
    return m_path;
}
QString DemoShopCopy::file(const QString& name) const {
    return m_folder.filePath(name);
}

TestWindow::TestWindow()
    : settings(folder.filePath(QStringLiteral("settings.ini"))), window(settings, prompts) {
    window.resize(1280, 800); // the platform without a display has a smaller screen
    window.show();
    window.activateWindow();
}

} // namespace shimledger::desk::testing
