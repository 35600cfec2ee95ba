// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/job_flow.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/counted.h"
#include "app/desk/guard.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/jobs/search_watch.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/user_prompts.h"
#include "app/services/job_costs.h"
#include "app/services/job_record.h"
#include "app/services/pick_list.h"
#include "app/services/plan_job.h"
#include "app/services/reorder.h"
#include "app/services/reserve_plan.h"
#include "app/services/sheets/job_record_sheet.h"
#include "app/services/sheets/money_sheets.h"
#include "app/services/sheets/pick_list_sheet.h"
#include "app/services/sheets/reorder_sheet.h"
#include "app/services/wish_advice.h"
#include "inventory/csv_writer.h"
#include "inventory/inventory_error.h"
#include "inventory/stock_ledger.h"

#include <QDir>
#include <QFileInfo>
#include <QLocale>

#include <cmath>

namespace shimledger::desk {

namespace {

// A wish is tried on the fly: an answer within a blink, a good one within a second, then the whole search.
constexpr double look_seconds[] = {0.2, 0.8};

QString progressText(const planner::SubstituteProgress& progress) {
    QString text = JobFlow::tr("Examined so far: %1, in %2 s")
                       .arg(progress.examined)
                       .arg(QLocale::c().toString(progress.seconds, 'f', 1));
    if (std::isfinite(progress.best_deviation)) {
        text += JobFlow::tr(", closest so far %1 %")
                    .arg(QLocale::c().toString(100 * progress.best_deviation, 'f', 1));
    }
    return text + JobFlow::tr("; Esc stops and keeps what was found.");
}

} // namespace

JobFlow::JobFlow(ShopSession& session, UserPrompts& prompts, QObject* parent)
    : QObject(parent), m_session(session), m_prompts(prompts), m_plan(std::make_unique<services::JobPlan>()) {
    guarded(&m_search, &BackgroundRun::progressed, this, &JobFlow::searchProgressed);
    guarded(&m_search, &BackgroundRun::finished, this, [this] {
        lookAgain();
        emit searchEnded();
        if (m_search.running()) return;
        advise();
        tryAgain();
    });
    guarded(&m_advising, &BackgroundRun::finished, this, &JobFlow::adviceCame);
    guarded(&m_advising, &BackgroundRun::failed, this, &JobFlow::failed);
    guarded(&m_search, &BackgroundRun::failed, this, &JobFlow::failed);
    guarded(&m_writing, &BackgroundRun::failed, this, &JobFlow::failed);
}

JobFlow::~JobFlow() {
    // Nobody listens any more while the threads are waited for.
    m_search.disconnect(this);
    m_advising.disconnect(this);
    m_writing.disconnect(this);
}

const planner::SubstituteResult& JobFlow::result() const {
    return m_plan->result;
}

std::optional<std::int64_t> JobFlow::plannedAt() const {
    if (m_plan->result.status == planner::SubstituteStatus::not_run) {
        return std::nullopt;
    }
    return m_plan->revision;
}

void JobFlow::findSubstitutes(const std::string& job, const planner::SubstituteRules& rules,
                              const planner::SearchLimits& limits) {
    m_overtaken.reset();
    startSearch({job, rules, limits});
}

void JobFlow::startSearch(Question question) {
    m_plan = std::make_unique<services::JobPlan>();
    m_advice.clear();
    m_advising.cancel();
    m_end_early = std::make_shared<std::atomic<bool>>(false);
    m_question = std::move(question);
    m_look = 0;
    look();
    emit searchStarted();
}

void JobFlow::look() {
    Question question = m_question;
    if (!question.rules.wanted.changesNothing() && m_look < std::size(look_seconds))
        question.limits.seconds = std::min(question.limits.seconds, look_seconds[m_look]);
    m_search.start([this, question = std::move(question), path = m_session.path(),
                    end_early = m_end_early](const RunControl& control) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        services::SearchSettings settings;
        settings.rules = question.rules;
        settings.limits = question.limits;
        settings.progress = watchSearch(control, end_early, progressText);
        auto plan = std::make_shared<services::JobPlan>(services::planJob(shop, question.job, settings));
        plan->request.progress = {}; // it must not outlive this run
        return [this, plan] { *m_plan = std::move(*plan); };
    });
}

/// Where more time may bring a closer stack: a proof is an end, and so is whoever stops it.
void JobFlow::lookAgain() {
    if (m_plan->result.status != planner::SubstituteStatus::found_not_proved || *m_end_early) return;
    if (m_look == std::size(look_seconds) || m_plan->request.limits.seconds >= m_question.limits.seconds)
        return;
    ++m_look;
    look();
}

/// What limits a wish that nothing comes near to, and what could be bought.
void JobFlow::advise() {
    const planner::SubstituteResult& found = m_plan->result;
    if (m_question.rules.wanted.changesNothing() || found.proposals.empty() || *m_end_early ||
        found.proposals.front().deviation.max_deviation <= services::near_a_wish)
        return;
    m_advising.start([this, plan = std::make_shared<services::JobPlan>(*m_plan), path = m_session.path(),
                      end_early = m_end_early](const RunControl& control) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(path);
        plan->request.progress = [stop = control.stop, end_early](const planner::SubstituteProgress&) {
            return !stop.stop_requested() && !*end_early;
        };
        const services::WishAdvice advice = services::wishAdvice(shop, plan->job, plan->request, plan->result,
                                                                 plan->range, services::near_a_wish);
        return [this, advice] { m_advice = textOf(advice.sentence); };
    });
}

void JobFlow::stop() {
    if (m_overtaken) { // whoever stops it wants nothing booked by it
        const QString why = m_overtaken->why;
        m_overtaken.reset();
        emit failed(tr("%1. The search was stopped: nothing is reserved.").arg(why));
    }
    if (m_end_early) {
        *m_end_early = true;
    }
}

void JobFlow::forget() {
    m_overtaken.reset();
    m_plan = std::make_unique<services::JobPlan>();
    m_advice.clear();
    m_advising.cancel();
    m_search.cancel();
}

void JobFlow::book(const std::function<QString()>& booking) {
    QString sentence;
    if (const auto problem = problemOf([&] { sentence = booking(); })) {
        emit failed(*problem);
        return;
    }
    m_session.announceChange();
    emit done(sentence);
}

void JobFlow::reserve(const std::string& job, int proposal, QWidget* window) {
    const planner::SubstituteProposal& chosen = result().proposals.at(static_cast<std::size_t>(proposal));
    std::int64_t discs = 0;
    for (const planner::Pull& pull : chosen.pulls) {
        discs += pull.quantity;
    }
    const QString question = tr("Accept proposal %1 (deviation %2) as the build stack of %3, and reserve its "
                                "%4 discs and the job's "
                                "consumables?")
                                 .arg(proposal + 1)
                                 .arg(signedPerCentText(chosen.deviation.signed_deviation), textOf(job))
                                 .arg(discs);
    if (!m_prompts.confirm(window, tr("Accept and reserve"), question, tr("&Reserve"))) {
        return;
    }
    if (static_cast<std::size_t>(proposal) >= result().proposals.size()) { // the shop has changed meanwhile
        emit failed(tr("The proposals have gone, since the job was changed meanwhile: search again."));
        return;
    }
    if (refining()) { // it is this one that was accepted, not what might have been found
        *m_end_early = true;
        m_search.cancel();
    }
    QString sentence;
    QString overtaken;
    const auto problem = problemOf([&] {
        try {
            sentence = reserveNow(job, static_cast<std::size_t>(proposal));
        } catch (const inventory::StockChanged& changed) {
            overtaken = QString::fromUtf8(changed.what());
        }
    });
    if (problem) {
        emit failed(*problem);
    } else if (!overtaken.isEmpty()) {
        m_overtaken = {job, result().proposals[static_cast<std::size_t>(proposal)], m_plan->asked, overtaken};
        const planner::SubstituteRequest request = m_plan->request; // the plan goes
        startSearch({job, request.rules, m_question.limits});
    } else {
        m_session.announceChange();
        emit done(sentence);
    }
}

QString JobFlow::reserveNow(const std::string& job, std::size_t proposal) {
    const services::ReservedPlan reserved =
        services::reservePlan(m_session.shop(), *m_plan, proposal, m_person);
    m_plan = std::make_unique<services::JobPlan>();
    QString sentence = tr("%1 discs are reserved for %2; the pick list (F8) says where to pull them.")
                           .arg(reserved.discs)
                           .arg(textOf(job));
    for (const std::string& missing : reserved.missing) {
        sentence += QLatin1Char(' ') + textOf(missing);
    }
    return sentence;
}

/// Once: a person has accepted that stack, from whatever drawers it comes, and no other.
void JobFlow::tryAgain() {
    if (!m_overtaken) {
        return;
    }
    const Overtaken overtaken = std::move(*m_overtaken);
    m_overtaken.reset();
    if (!services::whatChanged(overtaken.asked, m_plan->asked).empty()) {
        emit failed(
            tr("%1. It was searched again for the job as it is now, and nothing is reserved: look at what "
               "was found.")
                .arg(overtaken.why));
        return;
    }
    const auto same = services::proposalOfSameStack(result().proposals, overtaken.picked);
    if (!same) {
        emit failed(
            tr("%1. It was searched again, but that stack cannot be had any more: nothing is reserved; "
               "look at what was found now.")
                .arg(overtaken.why));
        return;
    }
    QString sentence;
    if (const auto problem = problemOf([&] { sentence = reserveNow(overtaken.job, *same); })) {
        emit failed(
            tr("%1. It was searched again, and then: %2. Nothing is reserved.").arg(overtaken.why, *problem));
        return;
    }
    m_session.announceChange();
    emit done(tr("%1 (%2; it was searched again.)").arg(sentence, overtaken.why));
}

void JobFlow::release(const std::string& job, std::int64_t reservations, QWidget* window) {
    const QString question = tr("Give back everything that is reserved for %1 (%2 lines) to the drawers?")
                                 .arg(textOf(job))
                                 .arg(reservations);
    if (!m_prompts.confirm(window, tr("Release the reservation"), question, tr("&Release"))) {
        return;
    }
    book([&] {
        inventory::StockLedger(m_session.shop()).releaseAll(job, "released at the desk");
        return tr("Nothing is reserved for %1 any more.").arg(textOf(job));
    });
}

void JobFlow::exportPickList(const std::string& job, const QString& folder, QWidget* window) {
    const QString name = QStringLiteral("pick-list-%1.xlsx").arg(textOf(job));
    const QString path = m_prompts.sheetPath(window, tr("Write the pick list"), QDir(folder).filePath(name));
    if (path.isEmpty()) {
        return;
    }
    write(path, [job, path](inventory::ShopFile& shop, const std::stop_token& /*stop*/) {
        const services::ComponentPick pick = services::componentPickSheet(shop, job);
        services::writePickListSheet(pick, {pathOf(path), true});
        return tr("The pick list of %1 (%2 discs) is in %3.").arg(textOf(job)).arg(pick.pieces()).arg(path);
    });
}

void JobFlow::exportRecord(const std::string& job, const QString& folder, QWidget* window) {
    const QString name = QStringLiteral("record-%1.xlsx").arg(textOf(job));
    const QString path =
        m_prompts.sheetPath(window, tr("Write the record of the job"), QDir(folder).filePath(name));
    if (path.isEmpty()) {
        return;
    }
    write(path, [job, path](inventory::ShopFile& shop, const std::stop_token& /*stop*/) {
        const services::JobRecord record = services::jobRecord(shop, job);
        services::writeJobRecordSheet(record, {pathOf(path), true});
        const QString sentence = tr("The record of %1 is in %2.").arg(textOf(job), path);
        return record.state == "closed"
                   ? sentence
                   : sentence + QLatin1Char(' ') + tr("The job is not closed: it is not the last word.");
    });
}

void JobFlow::exportCosts(const std::string& job, const QString& folder, QWidget* window) {
    const QString name = QStringLiteral("costs-%1.xlsx").arg(textOf(job));
    const QString path =
        m_prompts.sheetPath(window, tr("Write what the job used"), QDir(folder).filePath(name));
    if (path.isEmpty()) {
        return;
    }
    write(path, [job, path](inventory::ShopFile& shop, const std::stop_token& /*stop*/) {
        const services::JobCosts costs = services::jobCosts(shop, job);
        if (path.endsWith(QStringLiteral(".csv"), Qt::CaseInsensitive)) {
            inventory::writeCsvFile({pathOf(path), true},
                                    [&costs](std::ostream& out) { services::writeCostsCsv(costs, out); });
        } else {
            services::writeJobCostsSheet(costs, {pathOf(path), true});
        }
        return tr("What %1 used, %2 in all, is in %3.")
            .arg(textOf(job), textOf(services::moneySumText(costs.total)), path);
    });
}

void JobFlow::exportReorderSheet(std::optional<services::ReorderPlan> shown, const DeskChoices& choices,
                                 const QString& folder, QWidget* window) {
    const QString path = m_prompts.sheetPath(window, tr("Write the reorder sheet"),
                                             QDir(folder).filePath(QStringLiteral("reorder.xlsx")));
    if (path.isEmpty()) {
        return;
    }
    write(path,
          [path, choices, shown = std::move(shown)](inventory::ShopFile& shop, const std::stop_token& stop) {
              services::ReorderOptions options;
              options.solver.stop = stop;
              options.waiting_day = choices.waiting_day;
              const services::ReorderPlan plan = shown ? *shown : services::reorderPlan(shop, options);
              services::writeReorderSheet(plan, {pathOf(path), true}, choices.paper,
                                          services::reorderReview(shop, plan));
              return tr("The reorder sheet for %1 is in %2.")
                  .arg(counted(static_cast<qint64>(plan.orders.size()), tr("1 supplier"), tr("%1 suppliers")),
                       path);
          });
}

void JobFlow::write(const QString& path, Writing writing) {
    m_writing.start([this, path, writing = std::move(writing),
                     shop_path = m_session.path()](const RunControl& control) -> RunDelivery {
        auto shop = inventory::ShopFile::openReadOnly(shop_path);
        const QString sentence = writing(shop, control.stop);
        return [this, path, sentence] {
            emit wroteTo(QFileInfo(path).absolutePath());
            emit done(sentence);
        };
    });
}

} // namespace shimledger::desk
