#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/jobs/job_view.h"
#endif

#include <QWidget>

#include <memory>
#include <optional>
#include <string>

class QLabel;
class QListView;
class QPlainTextEdit;
class QProgressBar;
class QTableView;

namespace shimledger::desk {

class BenchPanel;
class DeskActions;
class JobFlow;
class JobTableModel;
class MessageStrip;
class ProposalTableModel;
class ShopSession;
class StackTableModel;
class UserPrompts;

/// The page of the tuner, left to right: which job; its target against the drawers and what may stand in for
/// it; both stacks on the bench with their curves.
class JobsPage : public QWidget {
    Q_OBJECT

public:
    JobsPage(ShopSession& session, const DeskActions& actions, UserPrompts& prompts,
             QWidget* parent = nullptr);
    ~JobsPage() override;

    /// Reads the shop; keeps the picked job and, while its target stands, its proposals.
    void reload();
    void pickJob(const std::string& code);

    [[nodiscard]] std::optional<std::string> pickedJob() const;
    [[nodiscard]] bool busy() const; ///< searching or computing curves
    [[nodiscard]] JobFlow& flow() const { return *m_flow; }
    [[nodiscard]] BenchPanel& bench() const { return *m_bench; }
    [[nodiscard]] QListView* jobList() const { return m_job_list; }
    [[nodiscard]] QTableView* stackTable() const { return m_stack_table; }
    [[nodiscard]] QTableView* proposalTable() const { return m_proposal_table; }
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }

private:
    QWidget* makeJobColumn();
    QWidget* makeStackColumn(const DeskActions& actions);
    void connectActions(const DeskActions& actions);
    void connectTables();
    void jobPicked();
    void showJob(); ///< reads the picked job again and shows it
    void showHeading();
    void proposalPicked();
    void showBuild();
    void showResult();
    void warnOfStaleProposals();
    void enableActions();
    [[nodiscard]] QString idleText() const;
    [[nodiscard]] int pickedProposal() const; ///< -1: none

    ShopSession& m_session;
    const DeskActions& m_actions;
    std::unique_ptr<JobFlow> m_flow;
    std::optional<JobView> m_view;
    std::string m_shown_job; ///< whose proposals are on show

    JobTableModel* m_jobs;
    StackTableModel* m_stack;
    ProposalTableModel* m_proposals;
    QListView* m_job_list;
    QTableView* m_stack_table;
    QTableView* m_proposal_table;
    QLabel* m_heading;
    QLabel* m_situation;
    QLabel* m_found;
    QLabel* m_pulls;
    QProgressBar* m_progress;
    QPlainTextEdit* m_cautions;
    MessageStrip* m_strip;
    BenchPanel* m_bench;
};

} // namespace shimledger::desk
