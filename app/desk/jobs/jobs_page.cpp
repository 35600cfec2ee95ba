// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/jobs_page.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/jobs/all_jobs_panel.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/job_intake_flow.h"
#include "app/desk/jobs/job_table_model.h"
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
#include "app/desk/user_prompts.h"
#include "app/services/job_intake.h"
#include "app/services/job_wishes.h"
#include "app/services/plan_job.h"
#include "inventory/inventory_error.h"
#include "inventory/stock_ledger.h"
#include "planner/stack/stack_text.h"

#include <QCheckBox>
#include <QLabel>
#include <QLineEdit>
#include <QListView>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QProgressBar>
#include <QScrollBar>
#include <QSlider>
#include <QTabBar>
#include <QTabWidget>
#include <QTableView>

namespace shimledger::desk {

namespace {

/// Its target can be searched for, or another curve than its own: nothing is reserved for the job yet.
bool maySearch(const std::optional<JobView>& view) {
    return view && !view->ended() && view->target && view->reservations == 0;
}

} // namespace

JobsPage::~JobsPage() = default;

void JobsPage::showPlannedJob(int row) {
    const planner::SharedJobPlan& planned = allJobs().plan()->plan.jobs.at(static_cast<std::size_t>(row));
    pickJob(planned.name);
    m_proposal_table->setCurrentIndex({}); // what is drawn is what would be reserved
    if (planned.proposal && m_view && m_view->target) {
        m_bench->setSubstitute(
            benchInputOf(*planned.proposal, m_view->target->side.stack, tr("Planned with all jobs")));
    }
}

RulesPanel& JobsPage::rules() {
    return m_rules.page();
}

AllJobsPanel& JobsPage::allJobs() {
    return m_all_jobs.page();
}

StepsPanel& JobsPage::steps() {
    return m_steps.page();
}

TriesPanel& JobsPage::tries() {
    return m_tries.page();
}

ValvesPanel& JobsPage::valves() {
    return m_valves.page();
}

void JobsPage::showValves() {
    if (m_valves.built() == nullptr || m_answers->currentWidget() != m_valves.holder()) return;
    m_valves.built()->show(m_view ? std::optional(m_view->line.job.code) : std::nullopt);
}

double JobsPage::workingLift() const {
    const double usual_mm = m_settings.choices().working_lift_mm;
    return m_view ? m_view->working_lift_mm.value_or(usual_mm) : usual_mm;
}

void JobsPage::showTries() {
    if (m_tries.built() == nullptr || m_answers->currentWidget() != m_tries.holder()) return;
    m_tries.built()->show(m_view ? services::jobTries(m_session.shop(), m_view->line.job.code, workingLift())
                                 : std::vector<services::TryTold>());
    enableActions();
}

/// What is drawn is what is kept, whether a proposal, a step, an edited target or another try.
void JobsPage::keepTry() {
    const auto& drawn = m_bench->laidOut();
    if (!m_view || !drawn) return;
    const std::string job = m_view->line.job.code;
    inventory::StackTry kept;
    const std::string name = tries().nameField()->text().trimmed().toStdString();
    const auto problem = problemOf([&] {
        kept = services::keepTry(m_session.shop(), job, name, *drawn, m_wish->wanted(),
                                 m_settings.choices().person.toStdString());
    });
    if (problem) {
        m_strip->showProblem(*problem);
        return;
    }
    tries().nameField()->clear();
    m_session.announceChange();
    m_strip->showDone(tr("The stack is kept with %1 as %2.").arg(textOf(job), textOf(kept.name)));
}

void JobsPage::takeTarget() {
    if (!m_view || !m_bench->laidOut()) return;
    const std::string job = m_view->line.job.code;
    const planner::StackSpec stack = *m_bench->laidOut(); // the question may change what is drawn
    const auto* tried = m_tries.built() != nullptr ? m_tries.built()->picked() : nullptr;
    const bool of_try =
        tried != nullptr && !tried->wanted.empty() && services::bookRows(stack.rows()) == tried->rows;
    const planner::WantedFactor wanted =
        of_try ? planner::WantedFactor::read(tried->wanted) : m_wish->wanted();
    const QString question =
        tr("Make this stack the target of %1: %2?\nThe target that was is kept among the tries.")
            .arg(textOf(job), textOf(planner::stackText(stack.rows(), "; ")));
    if (!m_prompts.confirm(window(), tr("Make it the target"), question, tr("&Make it the target"))) return;
    const auto problem = problemOf([&] {
        services::keepAsTarget(m_session.shop(), job, stack, wanted,
                               m_settings.choices().person.toStdString());
    });
    if (problem) {
        m_strip->showProblem(*problem);
        return;
    }
    m_wish->drop(); // it was held against the target that was
    m_session.announceChange();
    m_strip->showDone(tr("%1 has a new target; the one before is kept among the tries.").arg(textOf(job)));
}

QTableView* JobsPage::stackTable() const {
    return m_target->table();
}

QWidget* JobsPage::showAnswers() {
    m_answers->setCurrentIndex(0);
    if (m_proposals->rowCount() > 0) {
        return m_proposal_table;
    }
    return m_answers->tabBar();
}

void JobsPage::search(bool take_focus) {
    if (!m_view) {
        return;
    }
    m_focus_answers = take_focus;
    if (m_target->draft().edited()) {
        m_strip->showMessage(MessageStrip::Kind::note,
                             tr("The target has been edited: save it (Ctrl+S) or put it back "
                                "(Ctrl+Backspace), then search for the one that is meant."));
        return;
    }
    const DeskChoices choices = m_settings.choices();
    planner::SubstituteRules asked = rules().rules(choices.working_lift_mm, choices.tolerance);
    asked.wanted = m_wish->wanted();
    m_flow->findSubstitutes(m_view->line.job.code, asked, rules().limits());
    shareRoom();
}

void JobsPage::searchWish() {
    if (m_wish->wishes() && maySearch(m_view)) {
        search(false);
    } else if (!m_flow->plan().request.rules.wanted.changesNothing() || m_flow->refining()) {
        m_flow->forget(); // what was found for a wish that is no more
        showResult();
        enableActions();
    }
}

void JobsPage::readSituations() {
    m_check.startWhenIdle([this, path = m_session.path()](const RunControl& control) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        auto lines = std::make_shared<std::vector<JobLine>>(readJobLines(shop, control.stop));
        return [this, lines] {
            const QSignalBlocker quiet(m_job_list->selectionModel());
            const std::optional<std::string> picked = pickedJob();
            tellNowShort(*lines);
            m_jobs->setLines(std::move(*lines));
            if (picked) pickListed(picked);
            m_job_list->viewport()->update();
        };
    });
}

void JobsPage::applyChoices() {
    if (m_rules.built() != nullptr) m_rules.built()->setSizeUnit(m_settings.choices().size_unit);
    m_shown_job.clear(); // so that the bench is laid out anew
    if (m_session.isOpen()) {
        showJob();
    }
}

void JobsPage::reload() {
    const std::optional<std::string> picked = pickedJob();
    {
        const QSignalBlocker quiet(m_job_list->selectionModel());
        m_jobs->setLines(quickJobLines(m_session.shop(), m_jobs->lines()));
    }
    readSituations();
    {
        const QSignalBlocker quiet(m_job_list->selectionModel());
        m_jobs->setFilter(m_jobs->filter(), m_session.shop().now().date());
        pickListed(picked);
    }
    m_job_list->viewport()->update();
    if (m_all_jobs.built() != nullptr) guard(this, [this] { m_all_jobs.built()->shopRead(); });
    showJob();
}

void JobsPage::setActive(bool active) {
    m_target->setActive(active);
}

void JobsPage::pickListed(const std::optional<std::string>& job) {
    int row = job ? m_jobs->rowOf(*job) : -1;
    if (row < 0 && m_jobs->rowCount() > 0) {
        row = 0;
    }
    const QModelIndex index = m_jobs->index(row, JobTableModel::code);
    if (index != m_job_list->currentIndex()) {
        m_job_list->setCurrentIndex(index);
    }
}

void JobsPage::filterJobs() {
    if (!m_session.isOpen()) {
        return;
    }
    services::JobFilter filter;
    filter.which =
        m_ended->isChecked() ? services::JobFilter::Which::all : services::JobFilter::Which::atWork;
    filter.words = m_find->text().toStdString();
    const std::optional<std::string> picked = pickedJob();
    {
        const QSignalBlocker quiet(m_job_list->selectionModel());
        m_jobs->setFilter(filter, m_session.shop().now().date());
        pickListed(picked);
    }
    m_job_list->viewport()->update();
    if (pickedJob() != picked) jobPicked();
    if (!m_view) showHeading(); // which says why nothing is listed
}

/// A job that is not listed, because it has ended or is not looked for, is brought back into the list.
void JobsPage::pickJob(const std::string& code) {
    if (m_jobs->rowOf(code) < 0) {
        m_find->clear();
        const JobLine* line = m_jobs->lineOf(code);
        if (line != nullptr && hasEnded(line->job.status)) m_ended->setChecked(true);
    }
    m_job_list->setCurrentIndex(m_jobs->index(m_jobs->rowOf(code), JobTableModel::code));
}

std::optional<std::string> JobsPage::pickedJob() const {
    const QModelIndex current = m_job_list->currentIndex();
    if (!current.isValid() || current.row() >= m_jobs->rowCount()) {
        return std::nullopt;
    }
    return m_jobs->line(current.row()).job.code;
}

bool JobsPage::busy() const {
    return m_flow->searching() || m_flow->advising() || m_flow->writing() || planningAllJobs() ||
           m_bench->busy() || m_check.running() ||
           (m_steps.built() != nullptr && m_steps.built()->computing());
}

bool JobsPage::planningAllJobs() const {
    return m_all_jobs.built() != nullptr && m_all_jobs.built()->planning();
}

void JobsPage::jobPicked() {
    m_strip->clear();
    showJob();
}

void JobsPage::showJob() {
    const std::optional<std::string> picked = pickedJob();
    const bool same_job = picked && m_view && m_shown_job == *picked;
    std::optional<planner::StackSpec> old_target;
    if (same_job && m_view->target) {
        old_target = m_view->target->side.stack;
    }
    std::optional<JobView> view;
    try {
        if (picked) view = readJobView(m_session.shop(), *picked);
    } catch (const InputError& problem) {
        m_strip->showMessage(MessageStrip::Kind::problem, QString::fromUtf8(problem.what()));
    } catch (const inventory::ShopFileFault& fault) {
        m_strip->showMessage(MessageStrip::Kind::problem, QString::fromUtf8(fault.what()));
        if (same_job) return; // what is shown stays, and what is being typed there
    }
    m_view = std::move(view);
    m_shown_job = picked.value_or(std::string());
    const bool same_target =
        same_job && m_view && m_view->target && old_target && *old_target == m_view->target->side.stack;
    if (!same_target) {
        m_flow->forget();
        m_proposals->setProposals({});
        const DeskChoices choices = m_settings.choices();
        m_bench->setTarget(m_view ? m_view->target : std::nullopt,
                           {workingLift(), planner::Regime::large, choices.tolerance});
        m_bench->setHighlightedRow(-1);
        m_bench->setValve(m_view ? m_view->valve : std::nullopt);
        m_target->show(m_view ? &*m_view : nullptr);
        showResult();
        shareRoom();
    } else {
        m_bench->setTargetNotes(m_view->target->side.row_notes);
        m_bench->setValve(m_view->valve);
        m_bench->setTargetRows(m_target->savedRowsInDraft());
        m_target->show(&*m_view);
    }
    m_wish->show(picked, maySearch(m_view));
    if (!same_target) followSteps();
    showTries();
    showValves();
    showHeading();
    const auto found = static_cast<int>(m_flow->result().proposals.size());
    if (!m_flow->searching() && (pickedProposal() < 0 || m_proposals->rowCount() != found)) {
        showResult();
    }
    warnOfStaleProposals();
    enableActions();
}

void JobsPage::followSteps() {
    if (m_steps.built() == nullptr || m_answers->currentWidget() != m_steps.holder()) return;
    const bool can = m_view && m_view->target && !m_view->ended();
    m_steps.built()->follow(can ? pickedJob() : std::nullopt, workingLift());
}

void JobsPage::proposalPicked() {
    const int picked = pickedProposal();
    m_pulls->clear();
    layOver();
    if (picked < 0 || !m_view || !m_view->target) {
        showBuild();
    } else {
        const planner::SubstituteProposal& proposal =
            m_proposals->proposal(m_proposal_table->currentIndex().row());
        m_bench->setSubstitute(
            benchInputOf(proposal, m_view->target->side.stack, tr("Proposal %1").arg(picked + 1)));
        m_pulls->addItems(pullLines(proposal.pulls));
    }
    m_pulls_title->setText(m_view && m_view->ended() ? tr("Went in, all legs, and where it was pulled")
                                                     : tr("Pull for all legs, in walking order"));
    m_pulls_title->setVisible(m_pulls->count() > 0);
    m_pulls->setVisible(m_pulls->count() > 0);
    m_found->setText(answerText());
    enableActions();
}

/// With no proposal picked the accepted plan lies on the bench, where there is one.
void JobsPage::showBuild() {
    if (const auto draft = m_target->draftInput()) {
        m_bench->setSubstitute(draft, tr("Edited"));
        return;
    }
    m_bench->setSubstitute(m_view ? m_view->build : std::nullopt, tr("Build"));
    if (m_view) {
        m_pulls->addItems(m_view->reserved_pulls);
    }
}

void JobsPage::showDraft() {
    const auto draft = m_target->draftInput();
    showHeading();
    m_bench->setTargetRows(m_target->savedRowsInDraft());
    if (draft) {
        m_proposal_table->setCurrentIndex({}); // what is drawn is what would be reserved
        m_bench->setSubstitute(draft, tr("Edited"));
    } else if (!m_target->draft().edited()) {
        proposalPicked();
    }
}

int JobsPage::pickedProposal() const {
    const QModelIndex current = m_proposal_table->currentIndex();
    return current.isValid() ? static_cast<int>(m_proposals->placeOf(current.row())) : -1;
}

void JobsPage::layOver() {
    std::vector<DeviationOverlay> overlays;
    const int current = m_proposal_table->currentIndex().row();
    for (const QModelIndex& index : m_proposal_table->selectionModel()->selectedRows()) {
        if (index.row() == current) continue;
        const planner::SubstituteProposal& proposal = m_proposals->proposal(index.row());
        const planner::WantedFactor& wanted = m_flow->plan().request.rules.wanted;
        DeviationOverlay overlay{tr("Proposal %1").arg(m_proposals->placeOf(index.row()) + 1), {}};
        for (std::size_t i = 0; i < proposal.lifts_mm.size(); ++i) {
            const double lift = proposal.lifts_mm[i];
            const double own = proposal.target_pressures_mpa[i] / wanted.at(lift);
            overlay.points.push_back({lift, 100 * (proposal.pressures_mpa[i] / own - 1)});
        }
        overlays.push_back(std::move(overlay));
    }
    m_bench->setOverlays(std::move(overlays));
}

void JobsPage::enableActions() {
    const bool open = m_view && !m_view->ended();
    const bool searching = m_flow->searching();
    const auto enable = [this](ActionId id, bool on) { m_actions[id]->setEnabled(on); };
    enable(ActionId::new_job, m_session.isOpen());
    enable(ActionId::change_job, open);
    enable(ActionId::give_up_job, open && !searching);
    enable(ActionId::reopen_job, m_view && m_view->ended());
    enable(ActionId::export_record, m_view.has_value());
    enable(ActionId::export_costs, m_view.has_value());
    enable(ActionId::find_substitutes, maySearch(m_view) && !searching);
    enable(ActionId::plan_all_jobs, m_session.isOpen() && !planningAllJobs());
    enable(ActionId::reserve_all_jobs, m_all_jobs.built() != nullptr && m_all_jobs.built()->canReserve());
    enable(ActionId::edit_rules, open);
    enable(ActionId::stop_search, searching || planningAllJobs());
    enable(ActionId::reserve_proposal,
           open && pickedProposal() >= 0 && m_view->reservations == 0 && (!searching || m_flow->refining()));
    const bool may_take = open && m_bench->laidOut() && m_view->reservations == 0;
    enable(ActionId::keep_try, open && m_bench->laidOut());
    enable(ActionId::take_target,
           may_take && m_view->target && *m_bench->laidOut() != m_view->target->side.stack);
    const auto* tried = m_tries.built() != nullptr ? m_tries.built()->picked() : nullptr;
    enable(ActionId::drop_try, open && tried != nullptr && tried->kept_as == inventory::TryUse::none);
    enable(ActionId::show_tries, m_view.has_value());
    enable(ActionId::show_valves, m_view.has_value());
    enable(ActionId::show_steps, open && m_view->target);
    enable(ActionId::wish_curve, maySearch(m_view));
    enable(ActionId::release_reservation, open && m_view->reservations > 0);
    enable(ActionId::export_pick_list, m_view && m_view->reservations > 0);
    enable(ActionId::export_reorder, m_session.isOpen());
}

} // namespace shimledger::desk
