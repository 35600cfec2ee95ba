// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/job_intake_flow.h"

#include "app/desk/app_settings.h"
#include "app/desk/attempt.h"
#include "app/desk/jobs/job_dialog.h"
#include "app/desk/path_text.h"
#include "app/desk/shop_session.h"
#include "app/desk/user_prompts.h"
#include "app/services/stock_flow.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "inventory/job_end.h"

namespace shimledger::desk {

namespace {

const QString new_job_topic = QStringLiteral("new-job");

/// What is said of a person or of his property stays in the shop file: of a draft it is kept in memory alone.
const QStringList private_fields{QStringLiteral("customer"), QStringLiteral("component")};

/// The usual ones, and what the shop calls others.
QStringList valveNames(const std::vector<inventory::Job>& jobs) {
    // Data of the shop file, which the command writes too: not translated.
    QStringList names{QStringLiteral("compression"), QStringLiteral("rebound"), QStringLiteral("base"),
                      QStringLiteral("mid")};
    for (const inventory::Job& job : jobs) {
        const QString name = textOf(job.valve.name);
        if (!names.contains(name)) names << name;
    }
    return names;
}

JobQuestion whatIsKnown(inventory::ShopFile& shop, const AppSettings& settings) {
    JobQuestion question;
    question.size_unit = settings.choices().size_unit;
    question.models = inventory::ComponentModels(shop).list();
    question.valves = valveNames(inventory::JobBook(shop).list());
    return question;
}

std::optional<EarlierJob> earlierJob(inventory::ShopFile& shop, const std::string& model,
                                     const std::string& valve) {
    const auto job = services::latestJobLike(shop, model, valve);
    if (!job) return std::nullopt;
    return EarlierJob{*job, services::targetRows(shop, job->code)};
}

} // namespace

JobIntakeFlow::JobIntakeFlow(ShopSession& session, UserPrompts& prompts, AppSettings& settings,
                             QObject* parent)
    : QObject(parent), m_session(session), m_prompts(prompts), m_settings(settings) {}

/// A dialog waits in an event loop of its own, in which another shop may come to be opened.
std::optional<QString> JobIntakeFlow::otherShop(const std::filesystem::path& asked_for) const {
    return m_session.path() == asked_for
               ? std::nullopt
               : std::optional(tr("Another shop has been opened meanwhile; cancel, and begin again there."));
}

QVariantMap JobIntakeFlow::draft() const {
    QVariantMap draft = readChanges(m_settings.drafts().text(new_job_topic));
    if (!draft.isEmpty() && m_private_shop == m_session.path()) draft.insert(m_private);
    return draft;
}

void JobIntakeFlow::keep(QVariantMap draft) {
    m_private.clear();
    m_private_shop = m_session.path();
    for (const QString& name : private_fields) {
        if (draft.contains(name)) m_private.insert(name, draft.take(name));
    }
    m_settings.drafts().keep(new_job_topic, changesText({}, draft));
}

void JobIntakeFlow::openNew(QWidget* window) {
    std::string code;
    if (const auto problem = problemOf([&] {
            JobQuestion question = whatIsKnown(m_session.shop(), m_settings);
            question.next_code = services::nextJobCode(m_session.shop());
            question.earlier = [this](const std::string& model, const std::string& valve) {
                return earlierJob(m_session.shop(), model, valve);
            };
            question.book = [this, &code, path = m_session.path()](const services::JobIntake& intake) {
                if (auto other = otherShop(path)) return other;
                return problemOf([&] { code = services::openJob(m_session.shop(), intake); });
            };
            question.draft = draft();
            question.keep = [this, path = m_session.path()](const QVariantMap& left) {
                if (!otherShop(path)) keep(left);
            };
            m_prompts.askJob(window, question);
        })) {
        emit failed(*problem);
    }
    if (code.empty()) {
        return;
    }
    m_session.announceChange();
    emit opened(code);
    QString sentence =
        tr("%1 is open. Next: its strip sheet (Ctrl+6), or the rows of its target (Ctrl+2, Ins).")
            .arg(textOf(code));
    std::size_t listed = 0;
    (void)problemOf([&] {
        listed = inventory::ComponentModels(m_session.shop())
                     .get(inventory::JobBook(m_session.shop()).get(code).model)
                     .valves.size();
    });
    if (listed > 1) sentence += QLatin1Char(' ') + tr("Its model lists more valves: Ctrl+Shift+E adds them.");
    emit done(sentence);
}

void JobIntakeFlow::change(const std::string& job, QWidget* window) {
    bool changed = false;
    if (const auto problem = problemOf([&] {
            JobQuestion question = whatIsKnown(m_session.shop(), m_settings);
            question.before = inventory::JobBook(m_session.shop()).get(job);
            question.book = [this, &changed, before = *question.before,
                             path = m_session.path()](const services::JobIntake& intake) {
                if (auto other = otherShop(path)) return other;
                auto refused = problemOf([&] { services::changeJob(m_session.shop(), before, intake.job); });
                changed = !refused;
                return refused;
            };
            m_prompts.askJob(window, question);
        })) {
        emit failed(*problem);
    }
    if (!changed) {
        return;
    }
    m_session.announceChange();
    emit done(tr("%1 is changed.").arg(textOf(job)));
}

void JobIntakeFlow::giveUp(const std::string& job, std::int64_t reservations, QWidget* window) {
    QString question =
        tr("Give %1 up? It leaves the list and stays in the book as cancelled.").arg(textOf(job));
    if (reservations > 0) {
        question += QLatin1Char(' ') +
                    tr("What is reserved for it (%1 lines) is free for other jobs.").arg(reservations);
    }
    const std::filesystem::path path = m_session.path();
    if (!m_prompts.confirm(window, tr("Give the job up"), question, tr("&Give it up"))) {
        return;
    }
    if (const auto other = otherShop(path)) {
        emit failed(*other);
        return;
    }
    services::EndedJob ended;
    if (const auto problem =
            problemOf([&] { ended = services::cancelJob(m_session.shop(), job, "given up at the desk"); })) {
        emit failed(*problem);
        return;
    }
    m_session.announceChange();
    QString sentence =
        ended.released > 0
            ? tr("%1 is cancelled; %2 reserved pieces are free again.").arg(textOf(job)).arg(ended.released)
            : tr("%1 is cancelled; nothing was reserved for it.").arg(textOf(job));
    for (const std::string& note : ended.notes)
        sentence += QLatin1Char(' ') + textOf(note) + QLatin1Char('.');
    emit done(sentence);
}

void JobIntakeFlow::reopen(const std::string& job, QWidget* window) {
    const std::filesystem::path path = m_session.path();
    const QString question =
        tr("Put %1 to work again? What was pulled for it stays pulled, and nothing is reserved for it.")
            .arg(textOf(job));
    if (!m_prompts.confirm(window, tr("Open the job again"), question, tr("&Open it again"))) {
        return;
    }
    if (const auto other = otherShop(path)) {
        emit failed(*other);
        return;
    }
    inventory::ReopenedJob reopened;
    if (const auto problem = problemOf([&] { reopened = inventory::reopenJob(m_session.shop(), job); })) {
        emit failed(*problem);
        return;
    }
    m_session.announceChange();
    emit done(tr("%1 was %2 and is %3 again.")
                  .arg(textOf(job), textOf(inventory::jobStatusName(reopened.was)),
                       textOf(inventory::jobStatusName(reopened.now))));
}

} // namespace shimledger::desk
