// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/all_jobs_panel.h"

#include "app/desk/attempt.h"
#include "app/desk/counted.h"
#include "app/desk/desk_actions.h"
#include "app/desk/guard.h"
#include "app/desk/jobs/all_jobs_table_model.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/jobs/pull_list.h"
#include "app/desk/jobs/search_watch.h"
#include "app/desk/path_text.h"
#include "app/desk/scrolling_area.h"
#include "app/desk/sentence_label.h"
#include "app/desk/shop_session.h"
#include "app/desk/table_manners.h"
#include "app/desk/user_prompts.h"
#include "inventory/inventory_error.h"
#include "inventory/stock_ledger.h"

#include <QCheckBox>
#include <QHBoxLayout>
#include <QLabel>
#include <QListWidget>
#include <QLocale>
#include <QProgressBar>
#include <QPushButton>
#include <QTableView>
#include <QVBoxLayout>

namespace shimledger::desk {

namespace {

constexpr double searches = 6; // what all of it may take, in times of what one search may

QString progressText(const planner::SharedProgress& progress) {
    return AllJobsPanel::tr("Searches so far: %1, in %2 s; Esc stops and keeps the best plan.")
        .arg(progress.searches)
        .arg(QLocale::c().toString(progress.seconds, 'f', 1));
}

} // namespace

AllJobsPanel::AllJobsPanel(ShopSession& session, const DeskActions& actions, UserPrompts& prompts,
                           QWidget* parent)
    : QWidget(parent), m_session(session), m_prompts(prompts), m_jobs(new AllJobsTableModel(this)),
      m_table(new QTableView), m_sentence(new SentenceLabel), m_picked(new SentenceLabel),
      m_pulls(new QListWidget), m_progress(new QProgressBar),
      m_one_component(new QCheckBox(tr("Only the valves of the picked job's component"))) {
    m_table->setModel(m_jobs);
    m_table->setAccessibleName(tr("What each open job gets, the most urgent first"));
    dressTable(*m_table);
    stretchColumn(*m_table, AllJobsTableModel::held_back, 12 * m_table->fontMetrics().averageCharWidth());
    m_progress->setRange(0, 0);
    m_progress->setTextVisible(false);
    m_progress->setMaximumHeight(8);
    m_progress->setAccessibleName(tr("All jobs are being planned"));
    m_progress->hide();
    m_pulls->setAccessibleName(tr("What to pull for the picked job, all legs, in walking order"));
    dressPulls(*m_pulls);

    auto* search_row = new QHBoxLayout;
    search_row->addWidget(actions.button(ActionId::plan_all_jobs));
    search_row->addWidget(actions.button(ActionId::stop_search));
    search_row->addWidget(m_one_component);
    search_row->addWidget(m_progress, 1);
    search_row->addStretch();
    auto* booking_row = new QHBoxLayout;
    booking_row->addWidget(actions.button(ActionId::reserve_all_jobs));
    booking_row->addStretch();
    auto* answer = new QWidget;
    auto* answer_layout = new QVBoxLayout(answer);
    answer_layout->setContentsMargins(0, 0, 0, 0);
    answer_layout->setSpacing(5);
    answer_layout->addWidget(m_sentence);
    answer_layout->addWidget(m_table, 6);
    answer_layout->addWidget(m_picked);
    answer_layout->addWidget(m_pulls, 1);
    auto* layout = new QVBoxLayout(this);
    layout->setContentsMargins(6, 6, 6, 6);
    layout->setSpacing(5);
    layout->addLayout(search_row);
    layout->addWidget(scrollingArea(answer), 1);
    layout->addLayout(booking_row);

    guarded(m_table->selectionModel(), &QItemSelectionModel::currentChanged, this, &AllJobsPanel::showPicked);
    guarded(&m_search, &BackgroundRun::progressed, m_sentence, &QLabel::setText);
    guarded(&m_search, &BackgroundRun::failed, this, &AllJobsPanel::failed);
    guarded(&m_search, &BackgroundRun::finished, this, [this] {
        m_progress->hide();
        showPlan();
        guard(this, [this] { shopRead(); });
        emit ended();
        tryAgain();
    });
    showPlan();
}

AllJobsPanel::~AllJobsPanel() {
    m_search.disconnect(this); // nobody listens any more while the thread is waited for
}

void AllJobsPanel::start(const planner::SubstituteRules& rules, const planner::SearchLimits& limits,
                         const std::string& picked) {
    m_overtaken.reset();
    m_component = m_one_component->isChecked() ? picked : std::string();
    m_limits = limits;
    startPlanning(rules);
}

void AllJobsPanel::startPlanning(const planner::SubstituteRules& rules) {
    m_plan.reset();
    showPlan();
    m_path = m_session.path();
    m_end_early = std::make_shared<std::atomic<bool>>(false);
    m_search.start([this, rules, limits = m_limits, path = m_session.path(), component = m_component,
                    end_early = m_end_early](const RunControl& control) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        services::SearchSettings settings;
        settings.rules = rules;
        settings.limits = limits;
        auto plan = std::make_shared<services::AllJobsPlan>(
            services::planAllJobs(shop, settings, watchSearch(control, end_early, progressText),
                                  searches * limits.seconds, component));
        return [this, plan] { m_plan = std::move(*plan); };
    });
    m_progress->show();
    m_sentence->setText((m_component.empty() ? tr("Planning all open jobs;")
                                             : tr("Planning the valves of %1;").arg(textOf(m_component))) +
                        QLatin1Char(' ') + tr("Esc stops and keeps the best plan so far."));
    emit started();
}

void AllJobsPanel::stop() {
    if (m_overtaken) { // whoever stops it wants nothing booked by it
        const QString why = m_overtaken->why;
        m_overtaken.reset();
        emit failed(tr("%1. The planning was stopped: nothing is reserved.").arg(why));
    }
    if (m_end_early) {
        *m_end_early = true;
    }
}

void AllJobsPanel::forget() {
    m_overtaken.reset();
    m_plan.reset();
    m_search.cancel();
    showPlan();
}

bool AllJobsPanel::canReserve() const {
    return m_plan && !planning() && m_plan->plan.unplanned < static_cast<int>(m_plan->jobs.size());
}

void AllJobsPanel::showPlan() {
    m_jobs->setJobs(m_plan ? m_plan->plan.jobs : std::vector<planner::SharedJobPlan>());
    for (int column = 0; column < AllJobsTableModel::held_back; ++column) {
        m_table->resizeColumnToContents(column);
    }
    fitTableHeight(*m_table, 4, 10);
    m_sentence->setText(sentence());
    showPicked();
}

QString AllJobsPanel::sentence() const {
    if (!m_plan) {
        return tr("No plan yet; Ctrl+F5 plans all open jobs against the drawers, as many as can be, the most "
                  "urgent first, and then as close to their targets as can be.");
    }
    const planner::SharedStockPlan& plan = m_plan->plan;
    QStringList sentences;
    if (m_plan->jobs.empty()) {
        sentences << tr("No open job has a target that could be planned.");
    } else {
        sentences << tr("%1 of %2 planned; their substitutes are off by %3 in all.")
                         .arg(plan.jobs.size() - static_cast<std::size_t>(plan.unplanned))
                         .arg(counted(static_cast<std::int64_t>(plan.jobs.size()), tr("1 open job"),
                                      tr("%1 open jobs")),
                              perCentText(plan.sum_of_deviations));
        sentences << (plan.proved
                          ? tr("No other plan is better, to %1 for each job.").arg(perCentText(m_plan->gap))
                          : tr("A better plan may exist: the search ended before everything was "
                               "looked at."));
    }
    for (const std::string& left_out : m_plan->left_out) {
        sentences << tr("Left out: %1.").arg(textOf(left_out));
    }
    return sentences.join(QLatin1Char(' '));
}

void AllJobsPanel::showPicked() {
    m_pulls->clear();
    m_picked->clear();
    const QModelIndex current = m_table->currentIndex();
    if (!m_plan || !current.isValid()) {
        return;
    }
    const auto row = static_cast<std::size_t>(current.row());
    const planner::SharedJobPlan& job = m_plan->plan.jobs.at(row);
    QStringList words{textOf(job.name) + QStringLiteral(": ") + textOf(job.sentence)};
    if (job.proposal) {
        words << textOf(m_plan->warp_results[row] ? m_plan->warp_results[row]->sentence // says how far, too
                                                  : m_plan->ranges[row].sentence);
        m_pulls->addItems(pullLines(job.proposal->pulls));
    }
    m_picked->setText(words.join(QLatin1Char(' ')));
    emit jobPicked(current.row());
}

void AllJobsPanel::shopRead() {
    if (!m_session.isOpen()) {
        return;
    }
    if (m_session.path() != m_path) {
        forget();
    } else if (m_plan && inventory::StockLedger(m_session.shop()).revision() != m_plan->revision) {
        m_sentence->setText(tr(
            "Something was booked since this plan (Ctrl+F5 plans again). Where it was what the plan takes, "
            "reserving it plans again by itself."));
    }
}

void AllJobsPanel::reserve() {
    if (!canReserve()) {
        return;
    }
    std::int64_t discs = 0;
    std::int64_t jobs = 0;
    for (const planner::SharedJobPlan& job : m_plan->plan.jobs) {
        if (!job.proposal) {
            continue;
        }
        ++jobs;
        for (const planner::Pull& pull : job.proposal->pulls) {
            discs += pull.quantity;
        }
    }
    const QString of_jobs = counted(jobs, tr("1 job"), tr("%1 jobs"));
    if (!m_prompts.confirm(
            window(), tr("Accept and reserve"),
            tr("Accept the planned stacks as the build stacks of %1, and reserve their %2 discs "
               "and the jobs' consumables?")
                .arg(of_jobs)
                .arg(discs),
            tr("&Reserve"))) {
        return;
    }
    QString overtaken;
    const auto problem = problemOf([&] {
        try {
            reserveNow({});
        } catch (const inventory::StockChanged& changed) {
            overtaken = QString::fromUtf8(changed.what());
        }
    });
    if (problem) {
        emit failed(*problem);
    } else if (!overtaken.isEmpty()) {
        m_overtaken = {m_plan->plan.jobs, m_plan->asked, overtaken};
        startPlanning(planner::SubstituteRules(m_plan->rules)); // the plan goes
    }
}

void AllJobsPanel::reserveNow(const QString& remark) {
    std::int64_t discs = 0;
    QString missing_ones;
    const std::vector<services::ReservedJob> reserved = services::reserveAllJobs(m_session.shop(), *m_plan);
    for (const services::ReservedJob& job : reserved) {
        discs += job.reserved.discs;
        for (const std::string& missing : job.reserved.missing) {
            missing_ones += QLatin1Char(' ') + tr("%1: %2.").arg(textOf(job.job), textOf(missing));
        }
    }
    const QString sentence =
        tr("%1 discs are reserved for %2; each has its pick list (F8).")
            .arg(discs)
            .arg(counted(static_cast<std::int64_t>(reserved.size()), tr("1 job"), tr("%1 jobs")));
    m_plan.reset();
    showPlan();
    m_session.announceChange();
    emit done(sentence + missing_ones + remark);
}

/// Once: a person has accepted those stacks, from whatever drawers they come, and no others.
void AllJobsPanel::tryAgain() {
    if (!m_overtaken) {
        return;
    }
    const Overtaken overtaken = std::move(*m_overtaken);
    m_overtaken.reset();
    bool same = m_plan && m_plan->plan.jobs.size() == overtaken.jobs.size();
    for (std::size_t j = 0; same && j < overtaken.jobs.size(); ++j) {
        const planner::SharedJobPlan& before = overtaken.jobs[j];
        const planner::SharedJobPlan& now = m_plan->plan.jobs[j];
        same = before.name == now.name &&
               services::whatChanged(overtaken.asked[j], m_plan->asked[j]).empty() &&
               before.proposal.has_value() == now.proposal.has_value() &&
               (!now.proposal || services::proposalOfSameStack({*now.proposal}, *before.proposal));
    }
    if (!same) {
        emit failed(
            tr("%1. All jobs were planned again, and not all get the same stacks any more: nothing is "
               "reserved; look at the new plan.")
                .arg(overtaken.why));
        return;
    }
    const auto problem =
        problemOf([&] { reserveNow(tr(" (%1; it was planned again.)").arg(overtaken.why)); });
    if (problem) {
        emit failed(
            tr("%1. It was planned again, and then: %2. Nothing is reserved.").arg(overtaken.why, *problem));
    }
}

} // namespace shimledger::desk
