// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/background_run.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/job_ask.h"
#include "app/services/reorder.h"
#endif
#include "planner/substitute/substitute_request.h"
#include "planner/substitute/substitute_result.h"

#include <QObject>

#include <atomic>
#include <functional>
#include <memory>
#include <optional>
#include <stop_token>
#include <string>

class QWidget;

namespace shimledger::services {
struct JobPlan;
}
namespace shimledger::inventory {
class ShopFile;
}

namespace shimledger::desk {

class ShopSession;
class UserPrompts;
struct DeskChoices;

/// The steps of one job: search, accept and reserve, release, write the sheets. Searches and sheets run in
/// the background on a ShopFile of their own; every step ends in done() or in failed(), in one sentence.
class JobFlow : public QObject {
    Q_OBJECT

public:
    JobFlow(ShopSession& session, UserPrompts& prompts, QObject* parent = nullptr);
    ~JobFlow() override;

    /// Where another curve than the target's is wanted, short searches come first, whose answers are there at
    /// once and are bettered while one looks at them; then what helps where nothing is near enough.
    void findSubstitutes(const std::string& job, const planner::SubstituteRules& rules = {},
                         const planner::SearchLimits& limits = {});
    void setPerson(std::string person) { m_person = std::move(person); } ///< who accepts; kept with a wish
    void stop();   ///< ends the search, keeping what it has found
    void forget(); ///< drops search and result: another job is looked at
    [[nodiscard]] bool searching() const { return m_search.running(); }
    /// Searching on, while result() has what was found before.
    [[nodiscard]] bool refining() const { return searching() && m_look > 0; }
    [[nodiscard]] bool advising() const { return m_advising.running(); }
    [[nodiscard]] const QString& advice() const { return m_advice; } ///< what helps; empty: nothing is told
    [[nodiscard]] bool writing() const { return m_writing.running(); }
    /// Revision of the drawers that the last search looked at; none before there was one.
    [[nodiscard]] std::optional<std::int64_t> plannedAt() const;
    /// The last search's answer; status not_run before there is one.
    [[nodiscard]] const planner::SubstituteResult& result() const;
    /// What is known beside it: how far was compared, what warping does, what a purchase would make possible.
    [[nodiscard]] const services::JobPlan& plan() const { return *m_plan; }

    /// These ask first. `window` is what the question is shown over.
    void reserve(const std::string& job, int proposal, QWidget* window);
    void release(const std::string& job, std::int64_t reservations, QWidget* window);
    void exportPickList(const std::string& job, const QString& folder, QWidget* window);
    void exportRecord(const std::string& job, const QString& folder, QWidget* window);
    void exportCosts(const std::string& job, const QString& folder, QWidget* window); ///< .xlsx, or .csv
    /// Of the plan as it stands on its page, typed over or not; where there is none yet, of a new one.
    void exportReorderSheet(std::optional<services::ReorderPlan> shown, const DeskChoices& choices,
                            const QString& folder, QWidget* window);

signals:
    void searchStarted();
    void searchProgressed(const QString& sentence);
    void searchEnded(); ///< result() is new, or nothing came of it
    void adviceCame();
    void done(const QString& sentence);
    void failed(const QString& sentence);
    void wroteTo(const QString& folder);

private:
    /// A plan that others were faster than: it is searched anew, and booked where it has the same stack.
    struct Overtaken {
        std::string job;
        planner::SubstituteProposal picked;
        services::JobAsk asked;
        QString why;
    };
    /// What is being searched for.
    struct Question {
        std::string job;
        planner::SubstituteRules rules;
        planner::SearchLimits limits;
    };
    void startSearch(Question question);
    void look(); ///< a search of the question, the shorter the fewer there were
    void lookAgain();
    void advise();
    void tryAgain();
    [[nodiscard]] QString reserveNow(const std::string& job, std::size_t proposal);
    void
    book(const std::function<QString()>& booking); ///< a write of ours: done, or failed with its sentence
    /// Writes a sheet in the background from a ShopFile of its own.
    using Writing = std::function<QString(inventory::ShopFile&, const std::stop_token&)>;
    void write(const QString& path, Writing writing);

    ShopSession& m_session;
    UserPrompts& m_prompts;
    std::unique_ptr<services::JobPlan> m_plan; ///< of the last search
    Question m_question;
    std::string m_person;
    std::size_t m_look = 0; ///< searches of the question that have ended
    QString m_advice;
    std::shared_ptr<std::atomic<bool>> m_end_early; ///< of the search under way
    std::optional<Overtaken> m_overtaken;
    BackgroundRun m_search;
    BackgroundRun m_advising;
    BackgroundRun m_writing;
};

} // namespace shimledger::desk
