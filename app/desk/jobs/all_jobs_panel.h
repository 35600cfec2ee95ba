// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/plan_all_jobs.h"
#endif

#include "app/desk/background_run.h"

#include <QString>
#include <QWidget>

#include <atomic>
#include <filesystem>
#include <memory>
#include <optional>

class QCheckBox;
class QLabel;
class QListWidget;
class QProgressBar;
class QTableView;

namespace shimledger::desk {

class AllJobsTableModel;
class DeskActions;
class ShopSession;
class UserPrompts;

/// All open jobs planned against one stock, so that no disc is promised twice: who gets what, and who stands
/// in whose way. The plan is accepted as a whole.
class AllJobsPanel : public QWidget {
    Q_OBJECT

public:
    AllJobsPanel(ShopSession& session, const DeskActions& actions, UserPrompts& prompts,
                 QWidget* parent = nullptr);
    ~AllJobsPanel() override;

    /// `picked`: the job whose component alone is planned where that is ticked.
    void start(const planner::SubstituteRules& rules, const planner::SearchLimits& limits,
               const std::string& picked);
    void stop();     ///< ends the search, keeping what it has found
    void reserve();  ///< asks first
    void shopRead(); ///< tells where the plan is of another state of the drawers; drops that of another shop

    [[nodiscard]] bool planning() const { return m_search.running(); }
    [[nodiscard]] bool canReserve() const;
    [[nodiscard]] const std::optional<services::AllJobsPlan>& plan() const { return m_plan; }
    [[nodiscard]] QTableView* table() const { return m_table; }
    [[nodiscard]] QCheckBox* oneComponent() const { return m_one_component; }
    [[nodiscard]] QString sentence() const;

signals:
    void started();
    void ended(); ///< plan() is new, or nothing came of it
    void done(const QString& sentence);
    void failed(const QString& sentence);
    void jobPicked(int row); ///< of the plan

private:
    /// A plan that others were faster than: it is made anew, and booked where the jobs get the same stacks.
    struct Overtaken {
        std::vector<planner::SharedJobPlan> jobs;
        std::vector<services::JobAsk> asked;
        QString why;
    };
    void forget();
    void startPlanning(const planner::SubstituteRules& rules);
    void reserveNow(const QString& remark);
    void tryAgain();
    void showPlan();
    void showPicked();

    ShopSession& m_session;
    UserPrompts& m_prompts;
    AllJobsTableModel* m_jobs;
    QTableView* m_table;
    QLabel* m_sentence;
    QLabel* m_picked;
    QListWidget* m_pulls;
    QProgressBar* m_progress;
    QCheckBox* m_one_component;
    std::optional<services::AllJobsPlan> m_plan;
    std::filesystem::path m_path;   ///< of the shop that was planned
    planner::SearchLimits m_limits; ///< of the last plan
    std::string m_component;        ///< that the last plan was of; empty: all open jobs
    std::optional<Overtaken> m_overtaken;
    std::shared_ptr<std::atomic<bool>> m_end_early; ///< of the search under way
    BackgroundRun m_search;
};

} // namespace shimledger::desk
