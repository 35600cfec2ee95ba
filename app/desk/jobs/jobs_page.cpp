// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/jobs_page.h"

#include "app/desk/app_settings.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/jobs/all_jobs_panel.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/job_intake_flow.h"
#include "app/desk/jobs/job_table_model.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/jobs/rules_panel.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/services/plan_job.h"
#include "inventory/inventory_error.h"
#include "inventory/stock_ledger.h"

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

void JobsPage::search() {
    if (!m_view) {
        return;
    }
    if (m_target->draft().edited()) {
        m_strip->showMessage(MessageStrip::Kind::note,
                             tr("The target has been edited: save it (Ctrl+S) or put it back "
                                "(Ctrl+Backspace), then search for the one that is meant."));
        return;
    }
    const DeskChoices choices = m_settings.choices();
    m_flow->findSubstitutes(m_view->line.job.code, rules().rules(choices.working_lift_mm, choices.tolerance),
                            rules().limits());
    shareRoom();
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
    return m_flow->searching() || m_flow->writing() || planningAllJobs() || m_bench->busy() ||
           m_check.running();
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
                           {choices.working_lift_mm, planner::Regime::large, choices.tolerance});
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
    showHeading();
    const auto found = static_cast<int>(m_flow->result().proposals.size());
    if (!m_flow->searching() && (pickedProposal() < 0 || m_proposals->rowCount() != found)) {
        showResult();
    }
    warnOfStaleProposals();
    enableActions();
}

void JobsPage::proposalPicked() {
    const int row = pickedProposal();
    m_pulls->clear();
    if (row < 0 || !m_view || !m_view->target) {
        showBuild();
    } else {
        const planner::SubstituteProposal& proposal = m_proposals->proposal(row);
        m_bench->setSubstitute(
            benchInputOf(proposal, m_view->target->side.stack, tr("Proposal %1").arg(row + 1)));
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
    return current.isValid() ? current.row() : -1;
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
    enable(ActionId::find_substitutes, open && m_view->target && m_view->reservations == 0 && !searching);
    enable(ActionId::plan_all_jobs, m_session.isOpen() && !planningAllJobs());
    enable(ActionId::reserve_all_jobs, m_all_jobs.built() != nullptr && m_all_jobs.built()->canReserve());
    enable(ActionId::edit_rules, open);
    enable(ActionId::stop_search, searching || planningAllJobs());
    enable(ActionId::reserve_proposal,
           open && pickedProposal() >= 0 && m_view->reservations == 0 && !searching);
    enable(ActionId::release_reservation, open && m_view->reservations > 0);
    enable(ActionId::export_pick_list, m_view && m_view->reservations > 0);
    enable(ActionId::export_reorder, m_session.isOpen());
}

} // namespace shimledger::desk
