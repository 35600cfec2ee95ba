// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/app_settings.h"
#include "app/desk/jobs/job_dialog.h"
#include "app/desk/main_window.h"
#include "app/desk/server_dialog.h"
#include "app/desk/user_prompts.h"
#include "tests/test_server.h"

#include <QStringList>
#include <QTemporaryDir>

#include <functional>
#include <memory>

namespace shimledger::desk::testing {

/// Answers from a script, and keeps what was asked.
class ScriptedPrompts : public UserPrompts {
public:
    bool confirm(QWidget* parent, const QString& title, const QString& sentence,
                 const QString& accept_text) override;
    QString openShopPath(QWidget* parent, const QString& folder) override;
    QString serverAddress(QWidget* parent, const QStringList& recent) override; ///< shows it to `at_server`
    QString newShopPath(QWidget* parent, const QString& folder) override;
    QString demoFolder(QWidget* parent, const QString& folder) override;
    QString sheetPath(QWidget* parent, const QString& title, const QString& suggestion) override;
    QString pdfPath(QWidget* parent, const QString& suggestion) override;
    bool choosePrinter(QWidget* parent, QPrinter& printer) override; ///< prints into next_path
    QString importPath(QWidget* parent, const QString& folder) override;
    QString importFolder(QWidget* parent, const QString& folder) override;
    QString countSheetPath(QWidget* parent, const QString& suggestion) override;
    QString filledCountSheet(QWidget* parent, const QString& folder) override;
    std::optional<DeskChoices> editChoices(QWidget* parent, const DeskChoices& choices) override;
    void askJob(QWidget* parent,
                const JobQuestion& question) override; ///< shows it to `at_job`, then closes it
    void tell(QWidget* parent, const QString& title, const QString& rich_text) override;

    bool accept = true;                ///< answer to every confirmation
    std::function<void()> at_confirm;  ///< what comes while one is asked for
    QString next_path;                 ///< answer to every question for a path
    QStringList asked;                 ///< sentences that were to be confirmed
    QStringList suggestions;           ///< paths that were suggested for sheets
    std::optional<DeskChoices> chosen; ///< answer to the settings dialog
    QString told;                      ///< last help text
    std::function<void(JobDialog&)> at_job;
    std::function<void(ServerDialog&)> at_server;
};

/// Handles events until `done` says so; false when it did not within thirty seconds (five minutes where
/// sanitized).
[[nodiscard]] bool settle(const std::function<bool()>& done);

/// The demo shop of the seed catalogue, its jobs open and nothing planned, in a folder of its own or on the
/// server of the tests. Made once a program and copied, since importing a year of history takes its time.
class DemoShopCopy {
public:
    DemoShopCopy();
    [[nodiscard]] QString path() const;                    ///< of the shop file, or its address
    [[nodiscard]] QString file(const QString& name) const; ///< in the same folder

private:
    QTemporaryDir m_folder;
    TestServer m_server;
    QString m_path;
};

/// A window with settings and prompts of its own.
struct TestWindow {
    TestWindow();

    QTemporaryDir folder;
    AppSettings settings;
    ScriptedPrompts prompts;
    MainWindow window;
};

} // namespace shimledger::desk::testing
