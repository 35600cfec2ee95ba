// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/background_run.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/count_sheet.h"
#endif

#include <QWidget>

#include <vector>

class QLabel;
class QListWidget;

namespace shimledger::desk {

class AppSettings;
class DeskActions;
class ShopSession;
class UserPrompts;

/// Counting on paper or in a spreadsheet: writes a sheet of all drawers to fill in, and reads it back. What
/// reading it would change is listed first, or what is wrong with it, a sentence a line; booking is a second
/// step, and books all of it or nothing.
class CountSheetPanel : public QWidget {
    Q_OBJECT

public:
    CountSheetPanel(ShopSession& session, const DeskActions& actions, UserPrompts& prompts,
                    AppSettings& settings, QWidget* parent = nullptr);

    void write();  ///< asks where to, then writes the sheet
    void read();   ///< asks for a filled-in sheet, then lists what it would change
    void forget(); ///< another shop was opened

    [[nodiscard]] bool busy() const { return m_run.running(); }
    [[nodiscard]] QListWidget* lines() const { return m_lines; }
    [[nodiscard]] QString summary() const;

signals:
    void done(const QString& sentence);

private:
    void post();
    void showReview(const services::CountReview& review);
    void showProblems(const QString& problems);
    void addFault(const QString& sentence);
    [[nodiscard]] static QString refusal(int faults);
    void lookAtFaults();
    void enableActions();

    ShopSession& m_session;
    const DeskActions& m_actions;
    UserPrompts& m_prompts;
    AppSettings& m_settings;
    QString m_name; ///< of the sheet that is shown
    std::vector<services::CountLine> m_counted;
    bool m_anything = false; ///< to be booked
    QLabel* m_summary;
    QListWidget* m_lines;
    BackgroundRun m_run;
};

} // namespace shimledger::desk
