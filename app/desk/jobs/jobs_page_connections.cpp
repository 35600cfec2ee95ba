// What the jobs page answers to: actions, its own tables, and its parts.

#include "app/desk/app_settings.h"
#include "app/desk/desk_actions.h"
#include "app/desk/jobs/all_jobs_panel.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/jobs/rules_panel.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/message_strip.h"
#include "app/desk/shop_session.h"

#include <QLabel>
#include <QListView>
#include <QProgressBar>
#include <QTabWidget>
#include <QTableView>

namespace shimledger::desk {

namespace {

constexpr int rules_tab = 1;
constexpr int all_jobs_tab = 2;

} // namespace

void JobsPage::connectActions(const DeskActions& actions) {
    const auto on = [&](ActionId id, auto&& slot) { connect(actions[id], &QAction::triggered, this, slot); };
    on(ActionId::find_substitutes, [this] { search(); });
    on(ActionId::edit_rules, [this] {
        m_answers->setCurrentWidget(m_answers->widget(rules_tab));
        m_rules->setFocus(Qt::ShortcutFocusReason);
        m_rules->focusFirst();
    });
    on(ActionId::stop_search, [this] {
        m_flow->stop();
        m_all_jobs->stop();
    });
    on(ActionId::reserve_proposal, [this] {
        if (m_view && pickedProposal() >= 0) {
            m_flow->reserve(m_view->line.job.code, pickedProposal(), window());
        }
    });
    on(ActionId::release_reservation, [this] {
        if (m_view) {
            m_flow->release(m_view->line.job.code, m_view->reservations, window());
        }
    });
    connect(m_flow.get(), &JobFlow::searchStarted, this, [this] {
        m_strip->clear();
        m_answers->setCurrentIndex(0);
        m_progress->setVisible(true);
        m_found->setText(tr("Searching the drawers; Esc stops and keeps what was found."));
        enableActions();
    });
    connect(m_flow.get(), &JobFlow::searchProgressed, m_found, &QLabel::setText);
    connect(m_flow.get(), &JobFlow::searchEnded, this, [this] {
        showResult();
        if (m_proposals->rowCount() > 0) {
            m_proposal_table->setFocus(Qt::OtherFocusReason);
        }
    });
    connect(m_flow.get(), &JobFlow::done, this,
            [this](const QString& sentence) { m_strip->showMessage(MessageStrip::Kind::done, sentence); });
    connect(m_flow.get(), &JobFlow::failed, this,
            [this](const QString& sentence) { m_strip->showMessage(MessageStrip::Kind::problem, sentence); });
}

void JobsPage::connectTables() {
    connect(m_job_list->selectionModel(), &QItemSelectionModel::currentChanged, this, &JobsPage::jobPicked);
    connect(m_proposal_table->selectionModel(), &QItemSelectionModel::currentChanged, this,
            &JobsPage::proposalPicked);
    connect(m_target, &TargetEditor::rowPicked, m_bench, &BenchPanel::setHighlightedRow);
    connect(m_target, &TargetEditor::draftChanged, this, &JobsPage::showDraft);
    connect(m_target, &TargetEditor::saved, this,
            [this](const QString& sentence) { m_strip->showMessage(MessageStrip::Kind::done, sentence); });
    connect(m_bench, &BenchPanel::targetRowPicked, this, [this](int row) {
        m_target->table()->setCurrentIndex(m_target->table()->model()->index(row, StackTableModel::count));
    });
    connect(m_rules, &RulesPanel::changed, this, [this] {
        m_answers->setTabText(rules_tab, m_rules->atDefaults() ? tr("Rules") : tr("Rules (changed)"));
        if (m_session.isOpen()) m_settings.drafts().keep(RulesPanel::draftTopic(), m_rules->text());
    });
}

void JobsPage::connectAllJobs() {
    connect(m_actions[ActionId::plan_all_jobs], &QAction::triggered, this, [this] {
        m_answers->setCurrentIndex(all_jobs_tab);
        const DeskChoices choices = m_settings.choices();
        m_all_jobs->start(m_rules->rules(choices.working_lift_mm, choices.tolerance), m_rules->limits());
    });
    connect(m_actions[ActionId::reserve_all_jobs], &QAction::triggered, m_all_jobs, &AllJobsPanel::reserve);
    connect(m_all_jobs, &AllJobsPanel::started, this, [this] {
        m_strip->clear();
        enableActions();
    });
    connect(m_all_jobs, &AllJobsPanel::ended, this, [this] {
        enableActions();
        m_all_jobs->table()->setFocus(Qt::OtherFocusReason);
    });
    connect(m_all_jobs, &AllJobsPanel::jobPicked, this, &JobsPage::showPlannedJob);
    connect(m_all_jobs, &AllJobsPanel::done, this,
            [this](const QString& sentence) { m_strip->showMessage(MessageStrip::Kind::done, sentence); });
    connect(m_all_jobs, &AllJobsPanel::failed, this,
            [this](const QString& sentence) { m_strip->showMessage(MessageStrip::Kind::problem, sentence); });
}

} // namespace shimledger::desk
