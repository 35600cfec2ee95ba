// SPDX-License-Identifier: GPL-3.0-or-later
// How the jobs page is laid out; what it does is in jobs_page.cpp.

#include "app/desk/app_settings.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/jobs/all_jobs_panel.h"
#include "app/desk/jobs/job_delegate.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/job_intake_flow.h"
#include "app/desk/jobs/job_table_model.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/jobs/pull_list.h"
#include "app/desk/jobs/rules_panel.h"
#include "app/desk/jobs/steps_panel.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/jobs/valves_panel.h"
#include "app/desk/jobs/wish_editor.h"
#include "app/desk/message_strip.h"
#include "app/desk/row_menu.h"
#include "app/desk/scaled_label.h"
#include "app/desk/scrolling_area.h"
#include "app/desk/sentence_label.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"
#include "app/desk/wrapping_layout.h"

#include <QCheckBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QListView>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QProgressBar>
#include <QPushButton>
#include <QSplitter>
#include <QTabWidget>
#include <QTableView>
#include <QVBoxLayout>

#include <algorithm>

namespace shimledger::desk {

JobsPage::JobsPage(ShopSession& session, const DeskActions& actions, UserPrompts& prompts,
                   AppSettings& settings, QWidget* parent)
    : QWidget(parent), m_session(session), m_actions(actions), m_settings(settings), m_prompts(prompts),
      m_flow(std::make_unique<JobFlow>(session, prompts)),
      m_intake(std::make_unique<JobIntakeFlow>(session, prompts, settings)), m_jobs(new JobTableModel(this)),
      m_proposals(new ProposalTableModel(this)), m_job_list(new QListView), m_find(new QLineEdit),
      m_ended(new QCheckBox(tr("Ended jobs too"))), m_proposal_table(new QTableView),
      m_heading(new ScaledLabel(1.2)), m_situation(new SentenceLabel), m_found(new SentenceLabel),
      m_pulls_title(new QLabel), m_pulls(new QListWidget), m_answers(new QTabWidget),
      m_question_and_answer(new QSplitter(Qt::Vertical)),
      m_rules([this] { return makeRules(); }, TabPlace::of_holder),
      m_all_jobs([this, &prompts] { return makeAllJobs(prompts); }, TabPlace::of_holder),
      m_steps([this] { return makeSteps(); }, TabPlace::of_holder),
      m_tries([this] { return makeTries(); }, TabPlace::of_holder),
      m_valves([this] { return makeValves(); }, TabPlace::of_holder), m_progress(new QProgressBar),
      m_cautions(new QPlainTextEdit), m_strip(new MessageStrip), m_bench(new BenchPanel),
      m_target(new TargetEditor(session, actions, settings)), m_wish(new WishEditor(actions, settings)) {
    auto* columns = new QSplitter(Qt::Horizontal);
    columns->setChildrenCollapsible(false);
    columns->addWidget(makeJobColumn(actions));
    columns->addWidget(makeStackColumn(actions));
    columns->addWidget(m_bench);
    // What a wider window brings belongs to the bench: lists and tables are as wide as their words.
    columns->setStretchFactor(0, 1);
    columns->setStretchFactor(1, 3);
    columns->setStretchFactor(2, 9);
    columns->setSizes({245, 555, 460});
    auto* layout = new QVBoxLayout(this);
    layout->addWidget(columns, 1);
    m_strip->keepPlace();
    layout->addWidget(m_strip);
    connectActions(actions);
    connectIntake(actions);
    connectTables();
    connectWish(actions);
    connectTries(actions);
    enableActions();
    // What a person of this shop has set stays set.
    if (session.isOpen()) tellRulesKept(settings.drafts().text(RulesPanel::draftTopic()));
}

void JobsPage::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);
    shareRoom();
}

void JobsPage::shareRoom() {
    if (m_room_is_set) return;
    const bool answered = m_flow->searching() || m_proposals->rowCount() > 0 ||
                          (m_view && (m_view->reservations > 0 || m_view->ended()));
    const int room = m_question_and_answer->height();
    const int most = answered ? room * 2 / 5 : room * 13 / 20;
    const int target = std::min(m_target->wantedHeight(), most);
    m_question_and_answer->setSizes({target, room - target});
}

QWidget* JobsPage::makeJobColumn(const DeskActions& actions) {
    auto* column = new QWidget;
    column->setMaximumWidth(46 * fontMetrics().averageCharWidth());
    auto* title = new QLabel(tr("Jobs, by priority and due day"));
    title->setBuddy(m_job_list);
    m_job_list->setModel(m_jobs);
    m_job_list->setModelColumn(JobTableModel::code);
    m_job_list->setItemDelegate(new JobDelegate(m_job_list));
    m_job_list->setUniformItemSizes(true);
    m_job_list->setAlternatingRowColors(true);
    m_job_list->setEditTriggers(QAbstractItemView::NoEditTriggers);
    m_job_list->setMinimumWidth(230);
    m_job_list->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    m_job_list->setAccessibleName(tr("Jobs"));
    giveRowMenu(*m_job_list, {actions[ActionId::find_substitutes], actions[ActionId::reserve_proposal],
                              actions[ActionId::release_reservation], nullptr,
                              actions[ActionId::export_pick_list], actions[ActionId::export_record],
                              actions[ActionId::export_costs], nullptr, actions[ActionId::change_job],
                              actions[ActionId::give_up_job], actions[ActionId::reopen_job]});
    m_find->setPlaceholderText(tr("Find: customer, day, priority5, late ..."));
    m_find->setAccessibleName(tr("Find jobs"));
    m_find->setToolTip(tr("Words of customer, code, component, model, valve, due day or note; late; "
                          "priority5 (Ctrl+Shift+J)"));
    m_find->setClearButtonEnabled(true);
    m_ended->setToolTip(tr("Jobs that are closed or given up have left the list; this brings them back."));
    auto* layout = new QVBoxLayout(column);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->addWidget(title);
    layout->addWidget(m_find);
    layout->addWidget(m_ended);
    layout->addWidget(m_job_list, 1);
    auto* buttons = new WrappingLayout;
    for (const ActionId id : {ActionId::new_job, ActionId::change_job, ActionId::reopen_job}) {
        buttons->addWidget(m_actions.button(id));
    }
    layout->addLayout(buttons);
    return column;
}

QWidget* JobsPage::makeStackColumn(const DeskActions& actions) {
    m_heading->setWordWrap(true);
    m_heading->setTextFormat(Qt::PlainText);
    auto* column = new QWidget;
    column->setMaximumWidth(100 * fontMetrics().averageCharWidth());
    auto* layout = new QVBoxLayout(column);
    layout->setContentsMargins(0, 0, 0, 0);
    layout->setSpacing(5);
    layout->addWidget(m_heading);
    layout->addWidget(m_situation);
    m_question_and_answer->setChildrenCollapsible(false);
    m_question_and_answer->addWidget(m_target);
    m_question_and_answer->addWidget(makeAnswerTabs(actions));
    // What comes and goes beneath takes its room from the answers, so that the target's rows stay where they
    // are.
    m_question_and_answer->setStretchFactor(0, 0);
    m_question_and_answer->setStretchFactor(1, 1);
    guarded(m_question_and_answer, &QSplitter::splitterMoved, this, [this] { m_room_is_set = true; });
    layout->addWidget(m_question_and_answer, 1);
    return column;
}

/// Beneath the target: what may stand in for it, what that may change, and what to mind before building.
QWidget* JobsPage::makeAnswerTabs(const DeskActions& actions) {
    m_proposal_table->setModel(m_proposals);
    m_proposal_table->setAccessibleName(tr("Proposals, closest first"));
    dressTable(*m_proposal_table);
    m_proposal_table->setSelectionMode(QAbstractItemView::ExtendedSelection); // laid over one another
    m_proposal_table->horizontalHeader()->setSortIndicatorClearable(true);
    m_proposal_table->sortByColumn(-1, Qt::AscendingOrder);
    m_proposal_table->setSortingEnabled(true);
    giveRowMenu(*m_proposal_table, {actions[ActionId::reserve_proposal], actions[ActionId::go_lift],
                                    actions[ActionId::copy_picture], nullptr, actions[ActionId::edit_rules]});
    m_progress->setRange(0, 0);
    m_progress->setTextVisible(false);
    m_progress->setMaximumHeight(8);
    m_progress->setAccessibleName(tr("The search is under way"));
    m_progress->hide();
    m_pulls->setAccessibleName(tr("What to pull for the proposal, all legs, in walking order"));
    dressPulls(*m_pulls);
    m_cautions->setReadOnly(true);
    m_cautions->setTabChangesFocus(true);
    m_cautions->setAccessibleName(tr("Cautions for the build"));

    auto* search_row = new QHBoxLayout;
    search_row->addWidget(actions.button(ActionId::find_substitutes));
    search_row->addWidget(actions.button(ActionId::stop_search));
    search_row->addWidget(m_progress, 1);
    search_row->addStretch();
    m_pulls_title->setText(tr("Pull for all legs, in walking order"));
    m_pulls_title->setBuddy(m_pulls);
    auto* booking_row = new WrappingLayout;
    for (const ActionId id :
         {ActionId::reserve_proposal, ActionId::release_reservation, ActionId::export_pick_list,
          ActionId::export_record, ActionId::export_costs, ActionId::export_reorder}) {
        booking_row->addWidget(actions.button(id));
    }
    auto* answer = new QWidget;
    auto* answer_layout = new QVBoxLayout(answer);
    answer_layout->setContentsMargins(0, 0, 0, 0);
    answer_layout->setSpacing(5);
    answer_layout->addWidget(m_proposal_table, 6);
    answer_layout->addWidget(m_found);
    answer_layout->addWidget(m_pulls_title);
    answer_layout->addWidget(m_pulls, 1);
    answer_layout->addStretch();
    auto* substitutes = new QWidget;
    auto* layout = new QVBoxLayout(substitutes);
    layout->setContentsMargins(6, 6, 6, 6);
    layout->setSpacing(5);
    layout->addWidget(m_wish);
    layout->addLayout(search_row);
    layout->addWidget(scrollingArea(answer), 1);
    layout->addLayout(booking_row);

    m_answers->addTab(substitutes, tr("Substitutes"));
    m_answers->addTab(m_steps.holder(), tr("Steps"));
    m_answers->addTab(m_tries.holder(), tr("Tries"));
    m_answers->addTab(m_valves.holder(), tr("Valves"));
    m_answers->addTab(scrollingArea(m_rules.holder()), tr("Rules"));
    m_answers->addTab(m_all_jobs.holder(), tr("All jobs"));
    m_answers->addTab(m_cautions, tr("Before you build"));
    m_answers->setAccessibleName(tr("Substitutes, single steps, rules, all jobs and cautions"));
    return m_answers;
}

} // namespace shimledger::desk
