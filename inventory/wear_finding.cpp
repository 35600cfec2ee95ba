// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/wear_finding.h"

#include "inventory/job_book.h"
#include "inventory/job_valves.h"
#include "inventory/ledger/job_rows.h"
#include "inventory/part_catalogue.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

#include <array>
#include <stdexcept>

namespace shimledger::inventory {

namespace {

template <class Value>
struct Word {
    Value value;
    std::string_view name;
};
constexpr std::array<Word<WearDecision>, 3> decisions{
    {{WearDecision::replace, "replace"}, {WearDecision::defer, "defer"}, {WearDecision::keep, "keep"}}};
constexpr std::array<Word<WearState>, 4> states{{{WearState::notSaid, ""},
                                                 {WearState::good, "good"},
                                                 {WearState::worn, "worn"},
                                                 {WearState::damaged, "damaged"}}};

template <class Words, class Value>
std::string_view nameIn(const Words& words, Value value) {
    for (const auto& word : words) {
        if (word.value == value) return word.name;
    }
    throw std::logic_error("a word of the wear inspection is missing in its table");
}

void checkFinding(ShopFile& shop, const Job& job, const WearFinding& finding) {
    checkFreeText(finding.place, "place", "place");
    checkFreeText(finding.reason, "reason", "reason");
    checkFreeText(finding.note, "note", "note");
    if (finding.part.empty() && finding.place.empty()) {
        throw FieldError("part",
                         "a finding of job " + inQuotes(job.code) + " names neither a part nor a place");
    }
    const std::string what = finding.part.empty() ? "the " + finding.place : "part " + inQuotes(finding.part);
    const std::string who = what + " of job " + inQuotes(job.code);
    const int legs = componentLegs(componentValves(shop, job.code));
    if (finding.leg < 0 || finding.leg > legs) {
        throw FieldError("leg", who + " is said to be of leg " + std::to_string(finding.leg) +
                                    ": give 1 to " + std::to_string(legs) + ", or 0 for none");
    }
    if (finding.quantity < 1 || finding.quantity > 1'000'000'000) {
        throw FieldError("quantity",
                         who + " counts " + std::to_string(finding.quantity) + ": give 1 or more");
    }
    if (finding.part.empty() && finding.decision == WearDecision::replace) {
        throw FieldError("decision",
                         who + " cannot be replaced: name the catalogue part that takes its place");
    }
    const bool bushing =
        !finding.part.empty() && PartCatalogue(shop).get(finding.part).kind == PartKind::bushing;
    if (finding.worn_percent) {
        if (!bushing) {
            throw FieldError("worn_percent",
                             who + " is no bushing: its wear is said as good, worn or damaged");
        }
        if (*finding.worn_percent < 0 || *finding.worn_percent > 100) {
            throw FieldError("worn_percent", who + " is worn through by " +
                                                 std::to_string(*finding.worn_percent) + " %: give 0 to 100");
        }
        if (wornOut(*finding.worn_percent) && finding.decision != WearDecision::replace) {
            throw FieldError("decision", who + " is worn through by " +
                                             std::to_string(*finding.worn_percent) +
                                             " %, and two thirds is the limit: replace it");
        }
    }
    if (finding.decision != WearDecision::keep && finding.reason.empty()) {
        throw FieldError("reason", who + " is to be " +
                                       (finding.decision == WearDecision::replace ? "replaced" : "deferred") +
                                       ": say why");
    }
}

constexpr std::string_view columns =
    "SELECT j.code, f.leg, p.code, f.place, f.worn_percent, f.state, f.decision, f.quantity, f.reason, "
    "f.note, "
    "f.utc FROM wear_findings f JOIN jobs j USING (job_id) LEFT JOIN parts p USING (part_id) ";

WearFinding readFinding(const Query& row) {
    WearFinding finding;
    finding.job = row.text(0);
    finding.leg = row.smallInteger(1);
    finding.part = row.textOrEmpty(2);
    finding.place = row.text(3);
    if (!row.isNull(4)) finding.worn_percent = row.smallInteger(4);
    finding.state = parseWearState(row.text(5));
    finding.decision = parseWearDecision(row.text(6));
    finding.quantity = row.integer(7);
    finding.reason = row.text(8);
    finding.note = row.text(9);
    finding.utc = row.utc(10);
    return finding;
}

std::vector<WearFinding> readAll(ShopConnection& connection, const std::string& sql, std::int64_t job) {
    std::vector<WearFinding> findings;
    Query query(connection, sql, job);
    while (query.next()) findings.push_back(readFinding(query));
    return findings;
}

} // namespace

std::string_view wearDecisionName(WearDecision decision) {
    return nameIn(decisions, decision);
}

WearDecision parseWearDecision(std::string_view text) {
    for (const auto& word : decisions) {
        if (word.name == text) return word.value;
    }
    throw InputError(inQuotes(text) + " is no decision: write replace, defer or keep");
}

std::string_view wearStateName(WearState state) {
    return nameIn(states, state);
}

WearState parseWearState(std::string_view text) {
    for (const auto& word : states) {
        if (word.name == text) return word.value;
    }
    throw InputError(inQuotes(text) + " is no state of wear: write good, worn or damaged, or leave it empty");
}

void WearBook::record(const WearFinding& finding) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t job = livingComponentId(connection, finding.job);
    checkFinding(m_shop, JobBook(m_shop).get(finding.job), finding);
    std::optional<std::int64_t> part;
    if (!finding.part.empty()) part = partId(connection, finding.part);
    Query(connection,
          "DELETE FROM wear_findings WHERE job_id = ?1 AND leg = ?2 AND part_id IS NOT DISTINCT FROM ?3 AND "
          "place = ?4",
          job, finding.leg, part, finding.place)
        .run();
    const UtcTime utc = finding.utc == UtcTime() ? m_shop.now() : finding.utc;
    Query(connection,
          "INSERT INTO wear_findings (job_id, leg, part_id, place, utc, worn_percent, state, decision, "
          "quantity, "
          "reason, note) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
          job, finding.leg, part, finding.place, utc, finding.worn_percent, wearStateName(finding.state),
          wearDecisionName(finding.decision), finding.quantity, finding.reason, finding.note)
        .run();
    transaction.commit();
}

std::vector<WearFinding> WearBook::ofJob(std::string_view job) const {
    static const std::string sql = std::string(columns) + "WHERE f.job_id = ?1 ORDER BY f.leg, f.finding_id";
    return readAll(m_shop.connection(), sql, jobId(m_shop.connection(), job));
}

std::vector<WearFinding> WearBook::earlier(std::string_view job) const {
    static const std::string sql =
        std::string(columns) + "JOIN jobs valve ON valve.job_id = ?1 JOIN jobs me ON me.job_id = "
                               "coalesce(valve.valve_of_id, valve.job_id) WHERE j.job_id <> me.job_id AND "
                               "(j.opened, j.job_id) < (me.opened, me.job_id) "
                               "AND CASE WHEN me.component <> '' THEN j.component = me.component ELSE "
                               "j.component = '' AND me.customer <> '' "
                               "AND j.customer = me.customer AND j.model_id = me.model_id END ORDER BY "
                               "f.utc DESC, f.finding_id DESC";
    return readAll(m_shop.connection(), sql, jobId(m_shop.connection(), job));
}

std::vector<DeferredPart> WearBook::deferred() const {
    // The last word on each part of each component; a cancelled job did nothing to it.
    Query query(
        m_shop.connection(),
        "WITH said AS (SELECT f.*, j.code AS job, row_number() OVER (PARTITION BY "
        "CASE WHEN j.component <> '' THEN 'c' || j.component WHEN j.customer <> '' THEN 'm' || j.model_id || "
        "':' || j.customer ELSE 'j' || j.job_id END, f.leg, f.part_id, f.place "
        "ORDER BY f.utc DESC, f.finding_id DESC) AS age "
        "FROM wear_findings f JOIN jobs j USING (job_id) WHERE f.part_id IS NOT NULL "
        "AND (j.status <> 'cancelled' OR f.decision = 'defer')) "
        "SELECT p.code, s.quantity, s.job FROM said s JOIN parts p USING (part_id) "
        "WHERE s.age = 1 AND s.decision = 'defer' ORDER BY p.code, s.job, s.finding_id");
    std::vector<DeferredPart> parts;
    while (query.next()) {
        const std::string part = query.text(0);
        if (parts.empty() || parts.back().part != part) parts.push_back({part, 0, {}});
        parts.back().quantity += query.integer(1);
        const std::string job = query.text(2);
        if (parts.back().jobs.empty() || parts.back().jobs.back() != job) parts.back().jobs.push_back(job);
    }
    return parts;
}

} // namespace shimledger::inventory
