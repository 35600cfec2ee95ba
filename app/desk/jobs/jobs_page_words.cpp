// SPDX-License-Identifier: GPL-3.0-or-later
// What the jobs page says in words: its heading, and how the search stands.

#include "app/desk/counted.h"
#include "app/desk/jobs/job_flow.h"
#include "app/desk/jobs/job_table_model.h"
#include "app/desk/jobs/jobs_page.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/jobs/target_editor.h"
#include "app/desk/message_strip.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"
#include "app/services/component_valves.h"
#include "app/services/plan_job.h"
#include "app/services/reserve_plan.h"
#include "inventory/stock_ledger.h"

#include <QCheckBox>
#include <QLabel>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QProgressBar>
#include <QTableView>

#include <algorithm>

namespace shimledger::desk {

void JobsPage::showHeading() {
    if (!m_view) {
        m_heading->setText(tr("No job picked"));
        m_situation->setText(noJobText());
        m_cautions->clear();
        return;
    }
    const inventory::Job& job = m_view->line.job;
    QString heading = tr("%1: %2, %3")
                          .arg(textOf(job.code), textOf(job.model),
                               textOf(services::valveText(job, m_view->component_legs)));
    if (job.legs == m_view->component_legs) { // else which it lies in is said with the valve
        heading += tr(", %1").arg(counted(job.legs, tr("1 leg"), tr("%1 legs")));
    }
    if (job.due) {
        heading += tr(", due %1").arg(textOf(job.due->text()));
    }
    if (m_view->line.days_late > 0) {
        heading += tr(" (%1)").arg(textOf(services::lateText(m_view->line.days_late)));
    }
    m_heading->setText(heading);
    QString situation = m_view->line.situation_text + QLatin1Char('.');
    situation[0] = situation[0].toUpper();
    if (job.priority > 0) {
        situation += QLatin1Char(' ') + tr("Priority %1.").arg(job.priority);
    }
    if (!job.customer.empty()) {
        situation += QLatin1Char(' ') + tr("For %1.").arg(textOf(job.customer));
    }
    QStringList words{m_target->draft().edited() ? tr("As saved: %1").arg(situation) : situation};
    if (!m_view->problem.isEmpty()) {
        words << m_view->problem;
    }
    words << m_view->shortages << m_view->built << m_view->wishes;
    if (!m_view->other_valves.isEmpty()) {
        words << tr("Of the same component (Ctrl+Shift+E): %1.")
                     .arg(m_view->other_valves.join(QStringLiteral("; ")));
    }
    if (!job.note.empty()) {
        words << tr("Note: %1").arg(textOf(job.note));
    }
    m_situation->setText(words.join(QLatin1Char('\n')));
    m_cautions->setPlainText(m_view->cautions.join(QLatin1Char('\n')));
}

QString JobsPage::noJobText() const {
    if (m_jobs->lines().empty()) {
        return tr("This shop has no jobs yet; Ctrl+J opens one.");
    }
    if (m_jobs->rowCount() > 0) {
        return {};
    }
    if (!m_find->text().trimmed().isEmpty()) {
        return tr("No job is found by \"%1\".").arg(m_find->text().trimmed()) + QLatin1Char(' ') +
               (m_ended->isChecked() ? QString() : tr("Ended jobs are left out."));
    }
    return tr("No job is at work: all of them have ended.");
}

void JobsPage::showResult() {
    m_progress->setVisible(m_flow->searching());
    const planner::SubstituteResult& result = m_flow->result();
    std::optional<planner::SubstituteProposal> looked_at; // which a better answer does not take away
    if (pickedProposal() > 0) looked_at = m_proposals->proposal(m_proposal_table->currentIndex().row());
    m_proposals->setProposals(result.proposals, m_flow->plan().warp_results, m_flow->plan().clicks);
    m_proposal_table->setVisible(!result.proposals.empty());
    m_proposal_table->setColumnHidden(ProposalTableModel::from_target,
                                      m_flow->plan().request.rules.wanted.changesNothing());
    fitTableHeight(*m_proposal_table, 2, 6);
    for (int column = 0; column < ProposalTableModel::merits; ++column) {
        m_proposal_table->resizeColumnToContents(column);
    }
    if (!result.proposals.empty()) {
        const auto again =
            looked_at ? services::proposalOfSameStack(result.proposals, *looked_at) : std::nullopt;
        m_proposal_table->selectRow(m_proposals->rowOf(again.value_or(0)));
    }
    proposalPicked();
}

/// What the search said, how far it compared, and what warping does to the picked proposal.
QString JobsPage::answerText() const {
    const services::JobPlan& plan = m_flow->plan();
    if (plan.result.status == planner::SubstituteStatus::not_run) {
        return idleText();
    }
    QStringList sentences{QString::fromStdString(plan.result.message)};
    if (m_flow->refining()) sentences << tr("It is being searched on.");
    if (m_flow->advising()) sentences << tr("What would help is being looked for.");
    if (!m_flow->advice().isEmpty()) sentences << m_flow->advice();
    if (!plan.purchase.sentence.empty()) {
        sentences << QString::fromStdString(plan.purchase.sentence);
    }
    if (plan.result.status == planner::SubstituteStatus::nothing_possible) {
        sentences << tr("Other rules (Shift+F5) may allow more.");
    }
    const auto picked = static_cast<std::size_t>(std::max(0, pickedProposal()));
    if (pickedProposal() >= 0 && picked < plan.warp_results.size()) { // says how far, too
        sentences << QString::fromStdString(plan.warp_results[picked].sentence);
    } else if (!plan.result.proposals.empty()) {
        sentences << QString::fromStdString(plan.range.sentence);
    }
    if (pickedProposal() >= 0 && picked < plan.clicks.size() && !plan.clicks[picked].sentence.empty())
        sentences << QString::fromStdString(plan.clicks[picked].sentence);
    return sentences.join(QLatin1Char(' '));
}

/// What to do next, while there is no answer of a search to show.
QString JobsPage::idleText() const {
    if (!m_view || !m_view->target) {
        return {};
    }
    if (m_view->ended()) {
        return tr("It has ended; its figures are those of the day. Ctrl+Alt+J puts it to work again.");
    }
    if (m_view->reservations > 0) {
        return tr("The build stack is reserved; release it to search again.");
    }
    return tr("No search yet; F5 finds stacks that open like the target.");
}

/// Another window or program may have booked something since the search. What the proposal takes of it is
/// looked at when it is reserved.
void JobsPage::warnOfStaleProposals() {
    const auto planned_at = m_flow->plannedAt();
    if (!planned_at || !m_view || m_view->reservations > 0) {
        return;
    }
    if (inventory::StockLedger(m_session.shop()).revision() == *planned_at) {
        return;
    }
    m_strip->showMessage(
        MessageStrip::Kind::note,
        tr("Something was booked since this search (F5 searches again). Where it was what a proposal takes, "
           "reserving it searches again by itself."));
}

/// What was just booked may have been another job's.
void JobsPage::tellNowShort(const std::vector<JobLine>& lines) {
    QStringList jobs;
    for (const JobLine& line : lines) {
        const JobLine* before = m_jobs->lineOf(line.job.code);
        if (before != nullptr && before->mark == StateMark::good && line.mark == StateMark::missing) {
            jobs << textOf(line.job.code);
        }
    }
    if (jobs.isEmpty()) {
        return;
    }
    const QString now = tr("No longer to be built as it is: %1.").arg(jobs.join(QStringLiteral(", ")));
    if (m_strip->isHidden()) {
        m_strip->showMessage(MessageStrip::Kind::note, now);
    } else {
        m_strip->showMessage(m_strip->kind(), m_strip->sentence() + QLatin1Char(' ') + now);
    }
}

} // namespace shimledger::desk
