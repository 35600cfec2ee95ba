// SPDX-License-Identifier: GPL-3.0-or-later
// What the jobs page answers to: actions, its own tables, and its parts.

#include "app/desk/app_settings.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/jobs/all_jobs_panel.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/job_intake_flow.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/jobs/rules_panel.h"
#include "app/desk/jobs/steps_panel.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/jobs/tries_panel.h"
#include "app/desk/jobs/valves_panel.h"
#include "app/desk/jobs/wish_editor.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/services/stock_to_request.h"

#include <QCheckBox>
#include <QLabel>
#include <QLineEdit>
#include <QListView>
#include <QProgressBar>
#include <QTabWidget>
#include <QTableView>

#include <utility>

namespace shimledger::desk {

namespace {

constexpr int steps_tab = 1;
constexpr int tries_tab = 2;
constexpr int valves_tab = 3;
constexpr int rules_tab = 4;
constexpr int all_jobs_tab = 5;

} // namespace

void JobsPage::connectActions(const DeskActions& actions) {
    const auto on = [&](ActionId id, auto&& slot) { guarded(actions[id], &QAction::triggered, this, slot); };
    on(ActionId::find_substitutes, [this] { search(); });
    on(ActionId::edit_rules, [this] {
        m_answers->setCurrentWidget(m_answers->widget(rules_tab));
        rules().setFocus(Qt::ShortcutFocusReason);
        rules().focusFirst();
    });
    on(ActionId::show_steps, [this] {
        m_answers->setCurrentIndex(steps_tab);
        steps().setFocus(Qt::ShortcutFocusReason);
    });
    on(ActionId::show_tries, [this] {
        m_answers->setCurrentIndex(tries_tab);
        tries().setFocus(Qt::ShortcutFocusReason);
    });
    on(ActionId::show_valves, [this] {
        m_answers->setCurrentIndex(valves_tab);
        valves().setFocus(Qt::ShortcutFocusReason);
    });
    on(ActionId::stop_search, [this] {
        m_flow->stop();
        if (m_all_jobs.built() != nullptr) m_all_jobs.built()->stop();
    });
    on(ActionId::plan_all_jobs, [this] {
        m_answers->setCurrentIndex(all_jobs_tab);
        const DeskChoices choices = m_settings.choices();
        allJobs().start(rules().rules(choices.working_lift_mm, choices.tolerance), rules().limits(),
                        pickedJob().value_or(std::string()));
    });
    on(ActionId::reserve_proposal, [this] {
        if (const auto job = pickedJob(); job && pickedProposal() >= 0) {
            m_flow->setPerson(m_settings.choices().person.toStdString());
            m_flow->reserve(*job, pickedProposal(), window());
        }
    });
    on(ActionId::release_reservation, [this] {
        if (const auto job = pickedJob(); job && m_view) {
            m_flow->release(*job, m_view->reservations, window());
        }
    });
    guarded(m_flow.get(), &JobFlow::searchStarted, this, [this] {
        m_strip->clear();
        m_answers->setCurrentIndex(0);
        m_progress->setVisible(true);
        m_found->setText(tr("Searching the drawers; Esc stops and keeps what was found."));
        enableActions();
    });
    guarded(m_flow.get(), &JobFlow::searchProgressed, this, [this](const QString& sentence) {
        if (!m_flow->refining()) m_found->setText(sentence); // what was found is told meanwhile
    });
    guarded(m_flow.get(), &JobFlow::searchEnded, this, [this] {
        showResult();
        if (m_proposals->rowCount() > 0 && std::exchange(m_focus_answers, false)) {
            m_proposal_table->setFocus(Qt::OtherFocusReason);
        }
    });
    guarded(m_flow.get(), &JobFlow::adviceCame, this, [this] { m_found->setText(answerText()); });
    guarded(m_flow.get(), &JobFlow::done, m_strip, &MessageStrip::showDone);
    guarded(m_flow.get(), &JobFlow::failed, m_strip, &MessageStrip::showProblem);
}

void JobsPage::connectIntake(const DeskActions& actions) {
    guarded(actions[ActionId::new_job], &QAction::triggered, this, [this] { m_intake->openNew(window()); });
    guarded(actions[ActionId::change_job], &QAction::triggered, this, [this] {
        if (const auto job = pickedJob()) m_intake->change(*job, window()); // m_view may go meanwhile
    });
    guarded(actions[ActionId::give_up_job], &QAction::triggered, this, [this] {
        if (const auto job = pickedJob(); job && m_view)
            m_intake->giveUp(*job, m_view->reservations, window());
    });
    guarded(actions[ActionId::reopen_job], &QAction::triggered, this, [this] {
        if (const auto job = pickedJob()) m_intake->reopen(*job, window());
    });
    guarded(m_intake.get(), &JobIntakeFlow::opened, this, [this](const std::string& code) {
        pickJob(code);
        m_job_list->setFocus(Qt::OtherFocusReason);
    });
    guarded(m_intake.get(), &JobIntakeFlow::done, m_strip, &MessageStrip::showDone);
    guarded(m_intake.get(), &JobIntakeFlow::failed, m_strip, &MessageStrip::showProblem);
}

void JobsPage::connectWish(const DeskActions& actions) {
    guarded(actions[ActionId::wish_curve], &QAction::triggered, this, [this] {
        m_answers->setCurrentIndex(0);
        m_wish->begin(m_bench->handleLifts());
    });
    guarded(m_wish, &WishEditor::changed, this, [this] { m_bench->setWish(m_wish->points()); });
    guarded(m_wish, &WishEditor::settled, this, &JobsPage::searchWish);
    guarded(m_wish, &WishEditor::entered, this, [this] { search(); });
    guarded(m_bench, &BenchPanel::wishPulled, m_wish, &WishEditor::setPoints);
    guarded(m_proposal_table->selectionModel(), &QItemSelectionModel::selectionChanged, this,
            &JobsPage::layOver);
}

void JobsPage::connectTables() {
    guarded(m_find, &QLineEdit::textChanged, this, &JobsPage::filterJobs);
    guarded(m_ended, &QCheckBox::toggled, this, &JobsPage::filterJobs);
    guarded(m_find, &QLineEdit::returnPressed, this, [this] { m_job_list->setFocus(Qt::OtherFocusReason); });
    guarded(m_job_list->selectionModel(), &QItemSelectionModel::currentChanged, this, &JobsPage::jobPicked);
    guarded(m_proposal_table->selectionModel(), &QItemSelectionModel::currentChanged, this,
            &JobsPage::proposalPicked);
    guarded(m_target, &TargetEditor::rowPicked, m_bench, &BenchPanel::setHighlightedRow);
    guarded(m_target, &TargetEditor::draftChanged, this, &JobsPage::showDraft);
    guarded(m_target, &TargetEditor::saved, m_strip, &MessageStrip::showDone);
    guarded(m_target, &TargetEditor::noted, m_strip, &MessageStrip::showNote);
    guarded(m_bench, &BenchPanel::targetRowPicked, this, [this](int row) {
        m_target->table()->setCurrentIndex(m_target->table()->model()->index(row, StackTableModel::count));
    });
    guarded(m_answers, &QTabWidget::currentChanged, this, [this](int tab) {
        if (tab == steps_tab) {
            (void)m_steps.page();
            followSteps();
        }
        if (tab == tries_tab) {
            (void)m_tries.page();
            showTries();
        }
        if (tab == valves_tab) {
            (void)m_valves.page();
            showValves();
        }
        if (tab == rules_tab) (void)m_rules.page();
        if (tab == all_jobs_tab) (void)m_all_jobs.page();
    });
}

RulesPanel* JobsPage::makeRules() {
    auto* panel = new RulesPanel(m_settings.choices().size_unit);
    if (m_session.isOpen()) panel->setText(m_settings.drafts().text(RulesPanel::draftTopic()));
    guarded(panel, &RulesPanel::changed, this, [this, panel] {
        tellRulesKept(panel->text());
        if (m_session.isOpen()) m_settings.drafts().keep(RulesPanel::draftTopic(), panel->text());
    });
    tellRulesKept(panel->text()); // what was kept and cannot be read is no change
    return panel;
}

void JobsPage::tellRulesKept(const QString& kept) {
    m_answers->setTabText(rules_tab, kept.isEmpty() ? tr("Rules") : tr("Rules (changed)"));
}

StepsPanel* JobsPage::makeSteps() {
    auto* panel = new StepsPanel(m_session);
    guarded(panel, &StepsPanel::stepPicked, this, [this](const planner::SingleStep& step) {
        m_proposal_table->setCurrentIndex({}); // what is drawn is what would be reserved
        m_bench->setSubstitute(BenchInput{{textOf(step.words), step.stack, {}, {}, {}}, {}}, tr("Step"));
        enableActions();
    });
    guarded(panel, &StepsPanel::stepTaken, this, [this](const planner::SingleStep& step) {
        if (!m_view || !m_view->target) return;
        if (step.stack.valve() != m_view->target->side.stack.valve()) {
            m_strip->showMessage(
                MessageStrip::Kind::note,
                tr("That step changes the clamp, which belongs to the valve: Ctrl+Shift+Y makes it the "
                   "target with its clamp."));
        } else if (!m_target->tryRows(step.stack.rows(), textOf(step.words))) {
            m_strip->showMessage(MessageStrip::Kind::note, tr("The target cannot be edited now."));
        }
    });
    return panel;
}

TriesPanel* JobsPage::makeTries() {
    auto* panel = new TriesPanel(m_actions);
    guarded(panel, &TriesPanel::tryPicked, this, [this, panel] {
        const inventory::StackTry* tried = panel->picked();
        if (tried == nullptr || !m_view) return;
        m_proposal_table->setCurrentIndex({}); // what is drawn is what would be reserved
        const planner::StackSpec stack = services::triedStack(m_session.shop(), *tried);
        m_bench->setSubstitute(BenchInput{{textOf(tried->name), stack, {}, {}, {}}, {}}, tr("Try"));
        enableActions();
    });
    return panel;
}

void JobsPage::connectTries(const DeskActions& actions) {
    guarded(actions[ActionId::keep_try], &QAction::triggered, this, &JobsPage::keepTry);
    guarded(actions[ActionId::take_target], &QAction::triggered, this, &JobsPage::takeTarget);
    guarded(actions[ActionId::drop_try], &QAction::triggered, this, [this] {
        const inventory::StackTry* tried = m_tries.built() != nullptr ? m_tries.built()->picked() : nullptr;
        if (tried == nullptr) return;
        const inventory::StackTry thrown = *tried;
        inventory::StackTries(m_session.shop()).remove(thrown.job, thrown.name);
        m_session.announceChange();
        m_strip->showDone(tr("%1 is thrown away.").arg(textOf(thrown.name)));
    });
}

ValvesPanel* JobsPage::makeValves() {
    auto* panel = new ValvesPanel(m_session);
    guarded(panel, &ValvesPanel::valveWanted, this,
            [this](const QString& job) { pickJob(job.toStdString()); });
    guarded(panel, &ValvesPanel::done, m_strip, &MessageStrip::showDone);
    guarded(panel, &ValvesPanel::failed, m_strip, &MessageStrip::showProblem);
    return panel;
}

AllJobsPanel* JobsPage::makeAllJobs(UserPrompts& prompts) {
    auto* panel = new AllJobsPanel(m_session, m_actions, prompts);
    guarded(m_actions[ActionId::reserve_all_jobs], &QAction::triggered, panel, &AllJobsPanel::reserve);
    guarded(panel, &AllJobsPanel::started, this, [this] {
        m_strip->clear();
        enableActions();
    });
    guarded(panel, &AllJobsPanel::ended, this, [this, panel] {
        enableActions();
        panel->table()->setFocus(Qt::OtherFocusReason);
    });
    guarded(panel, &AllJobsPanel::jobPicked, this, &JobsPage::showPlannedJob);
    guarded(panel, &AllJobsPanel::done, m_strip, &MessageStrip::showDone);
    guarded(panel, &AllJobsPanel::failed, m_strip, &MessageStrip::showProblem);
    return panel;
}

} // namespace shimledger::desk
