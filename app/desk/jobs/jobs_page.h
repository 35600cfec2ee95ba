// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/jobs/job_view.h"
#endif

#include "app/desk/background_run.h"
#include "app/desk/lazy_page.h"

#include <QWidget>

#include <memory>
#include <optional>
#include <string>

class QCheckBox;
class QLabel;
class QLineEdit;
class QListView;
class QListWidget;
class QPlainTextEdit;
class QProgressBar;
class QTableView;
class QSplitter;
class QTabWidget;

namespace shimledger::desk {

class AllJobsPanel;
class AppSettings;
class BenchPanel;
class DeskActions;
class JobFlow;
class JobIntakeFlow;
class JobTableModel;
class MessageStrip;
class ProposalTableModel;
class RulesPanel;
class ShopSession;
class StepsPanel;
class TargetEditor;
class TriesPanel;
class UserPrompts;
class ValvesPanel;
class WishEditor;
struct PrintJob;
struct SearchHit;

/// The page of the tuner, left to right: which job; its target against the drawers and what may stand in for
/// it; both stacks on the bench with their curves.
class JobsPage : public QWidget {
    Q_OBJECT

public:
    JobsPage(ShopSession& session, const DeskActions& actions, UserPrompts& prompts, AppSettings& settings,
             QWidget* parent = nullptr);
    ~JobsPage() override;

    /// Reads the shop; keeps the picked job and, while its target stands, its proposals.
    void reload();
    void setActive(bool active); ///< whether this page is looked at, and keys mean its target
    void pickJob(const std::string& code);
    [[nodiscard]] PrintJob printJob(); ///< pick list and build sheet once reserved, the comparison before
    [[nodiscard]] std::vector<SearchHit> searchHits();
    void applyChoices(); ///< the settings' working lift or tolerance class have changed

    [[nodiscard]] std::optional<std::string> pickedJob() const;
    [[nodiscard]] bool busy() const; ///< searching or computing curves
    [[nodiscard]] JobFlow& flow() const { return *m_flow; }
    [[nodiscard]] BenchPanel& bench() const { return *m_bench; }
    [[nodiscard]] QListView* jobList() const { return m_job_list; }
    [[nodiscard]] QLineEdit* findField() const { return m_find; }
    [[nodiscard]] QCheckBox* endedToo() const {
        return m_ended;
    } ///< jobs that are closed or given up as well
    [[nodiscard]] TargetEditor& target() const { return *m_target; }
    [[nodiscard]] WishEditor& wish() const { return *m_wish; }
    [[nodiscard]] RulesPanel& rules();
    [[nodiscard]] AllJobsPanel& allJobs();
    [[nodiscard]] StepsPanel& steps();
    [[nodiscard]] TriesPanel& tries();
    [[nodiscard]] ValvesPanel& valves();
    [[nodiscard]] QTableView* stackTable() const;
    [[nodiscard]] QTableView* proposalTable() const { return m_proposal_table; } ///< hidden while it is empty
    [[nodiscard]] QWidget* showAnswers(); ///< turns to the substitutes; what takes the focus there
    [[nodiscard]] MessageStrip* strip() const { return m_strip; }

protected:
    void resizeEvent(QResizeEvent* event) override;

private:
    QWidget* makeJobColumn(const DeskActions& actions);
    QWidget* makeStackColumn(const DeskActions& actions);
    QWidget* makeAnswerTabs(const DeskActions& actions);
    void connectActions(const DeskActions& actions);
    void connectIntake(const DeskActions& actions);
    void connectTables();
    RulesPanel* makeRules();
    void tellRulesKept(const QString& kept);
    AllJobsPanel* makeAllJobs(UserPrompts& prompts);
    StepsPanel* makeSteps();
    TriesPanel* makeTries();
    ValvesPanel* makeValves();
    void showValves(); ///< of the job that is shown, where they are looked at
    void connectTries(const DeskActions& actions);
    void showTries(); ///< of the job that is shown, where they are looked at
    void keepTry();
    void takeTarget();
    [[nodiscard]] double workingLift() const; ///< of the shown job's valve, else as the settings say
    void followSteps();                       ///< of the job that is shown, where its steps are looked at
    void readSituations(); ///< checks every job against the drawers, off the window's thread
    void tellNowShort(const std::vector<JobLine>& lines); ///< jobs that could be built before
    void connectWish(const DeskActions& actions);
    void search(bool take_focus = true); ///< to the answers, when they are there
    void searchWish();                   ///< as it stands now, where it can be searched for
    void layOver();                      ///< proposals that are picked beside the current one
    void showPlannedJob(int row);        ///< of the plan of all jobs, on the bench
    void jobPicked();
    void filterJobs();
    void pickListed(const std::optional<std::string>& job); ///< that job where it is listed, else the first
    void showJob();                                         ///< reads the picked job again and shows it
    void showHeading();
    void proposalPicked();
    void showBuild();
    void showDraft(); ///< an edited target lies beside the saved one
    void showResult();
    void shareRoom(); ///< between the target and what is said of it, by need; until a person sets it
    void warnOfStaleProposals();
    void enableActions();
    [[nodiscard]] QString answerText() const;
    [[nodiscard]] QString idleText() const;
    [[nodiscard]] QString noJobText() const;  ///< why none is picked
    [[nodiscard]] int pickedProposal() const; ///< its place in the answer, whatever the sorting; -1: none
    [[nodiscard]] bool planningAllJobs() const;

    ShopSession& m_session;
    const DeskActions& m_actions;
    AppSettings& m_settings;
    UserPrompts& m_prompts;
    std::unique_ptr<JobFlow> m_flow;
    std::unique_ptr<JobIntakeFlow> m_intake;
    std::optional<JobView> m_view;
    std::string m_shown_job; ///< whose proposals are on show

    JobTableModel* m_jobs;
    ProposalTableModel* m_proposals;
    QListView* m_job_list;
    QLineEdit* m_find;
    QCheckBox* m_ended;
    QTableView* m_proposal_table;
    QLabel* m_heading;
    QLabel* m_situation;
    QLabel* m_found;
    QLabel* m_pulls_title;
    QListWidget* m_pulls;
    QTabWidget* m_answers;
    QSplitter* m_question_and_answer; ///< the target above, what answers it beneath
    bool m_room_is_set = false;       ///< by a person
    LazyPage<RulesPanel> m_rules;
    LazyPage<AllJobsPanel> m_all_jobs;
    LazyPage<StepsPanel> m_steps;
    LazyPage<TriesPanel> m_tries;
    LazyPage<ValvesPanel> m_valves;
    QProgressBar* m_progress;
    QPlainTextEdit* m_cautions;
    MessageStrip* m_strip;
    BenchPanel* m_bench;
    TargetEditor* m_target;
    WishEditor* m_wish;
    bool m_focus_answers = false; ///< when they come
    BackgroundRun m_check;        ///< of all jobs
};

} // namespace shimledger::desk
