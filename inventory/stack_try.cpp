// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/stack_try.h"

#include "inventory/job_book.h"
#include "inventory/ledger/job_rows.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

#include <algorithm>
#include <array>
#include <utility>

namespace shimledger::inventory {

namespace {

constexpr std::array<std::pair<TryUse, std::string_view>, 4> use_names{
    {{TryUse::none, ""}, {TryUse::base, "base"}, {TryUse::target, "target"}, {TryUse::build, "build"}}};

std::string tryOfJob(std::string_view job, std::string_view name) {
    return "try " + inQuotes(name) + " of job " + inQuotes(job);
}

void insertTryRow(ShopConnection& connection, std::int64_t job, const std::string& name,
                  std::int64_t position, const StackRow& row) {
    Query(connection,
          "INSERT INTO job_try_rows (job_id, name, position, count, od_um, thickness_um) "
          "VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
          job, name, position, row.count, row.od, row.thickness)
        .run();
}

} // namespace

std::string_view tryUseName(TryUse use) {
    return std::find_if(use_names.begin(), use_names.end(), [&](const auto& one) { return one.first == use; })
        ->second;
}

TryUse parseTryUse(std::string_view text) {
    const auto found =
        std::find_if(use_names.begin(), use_names.end(), [&](const auto& one) { return one.second == text; });
    if (found == use_names.end())
        throw InputError(inQuotes(text) + " is no use of a try: give base, target, build or nothing");
    return found->first;
}

void StackTries::add(const StackTry& tried) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = livingJobId(connection, tried.job);
    const Job job = JobBook(m_shop).get(tried.job);
    if (tried.name.empty()) throw FieldError("try", "a try of job " + inQuotes(tried.job) + " has no name");
    checkFreeText(tried.name, "name", "try");
    checkFreeText(tried.wanted, "wish", "wanted");
    checkFreeText(tried.made_by, "name of who made it", "made_by");
    const auto there = ofJob(tried.job);
    const auto has = [&](const std::string& name) {
        return std::any_of(there.begin(), there.end(), [&](const StackTry& one) { return one.name == name; });
    };
    if (has(tried.name))
        throw FieldError("try", tryOfJob(tried.job, tried.name) + " is there already: give another name");
    if (!tried.base.empty() && !has(tried.base))
        throw FieldError("held_against", tryOfJob(tried.job, tried.name) + " is held against " +
                                             inQuotes(tried.base) + ", which is no try of that job");
    if (tried.rows.empty()) throw FieldError("count", tryOfJob(tried.job, tried.name) + " has no discs");
    std::int64_t position = 0;
    for (const StackRow& row : tried.rows)
        checkStackRow(connection, job, StackRole::target, 0, row, ++position);
    Query(connection,
          "INSERT INTO job_tries (job_id, name, wanted, kept_as, base, made_by, made_utc, clamp_od_um) "
          "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
          id, tried.name, tried.wanted, tryUseName(tried.kept_as), tried.base, tried.made_by,
          tried.made == UtcTime() ? m_shop.now() : tried.made, tried.clamp_od)
        .run();
    position = 0;
    for (const StackRow& row : tried.rows) insertTryRow(connection, id, tried.name, ++position, row);
    transaction.commit();
}

void StackTries::addRow(const StackTry& tried, const StackRow& row) {
    if (tried.rows.empty()) {
        StackTry first = tried;
        first.rows.push_back(row);
        add(first);
        return;
    }
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = livingJobId(connection, tried.job);
    const auto position = static_cast<std::int64_t>(tried.rows.size()) + 1;
    checkStackRow(connection, JobBook(m_shop).get(tried.job), StackRole::target, 0, row, position);
    insertTryRow(connection, id, tried.name, position, row);
    transaction.commit();
}

void StackTries::remove(std::string_view job, std::string_view name) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = livingJobId(connection, job);
    const auto tried = find(job, name);
    if (!tried) throw FieldError("try", "there is no " + tryOfJob(job, name));
    if (tried->kept_as != TryUse::none)
        throw FieldError("try", tryOfJob(job, name) + " is kept: it tells what the job's stacks were wished "
                                                      "to be");
    Query(connection, "DELETE FROM job_tries WHERE job_id = ?1 AND name = ?2", id, name).run();
    transaction.commit();
}

std::vector<StackTry> StackTries::ofJob(std::string_view job) const {
    ShopConnection& connection = m_shop.connection();
    const std::int64_t id = jobId(connection, job);
    std::vector<StackTry> tries;
    Query query(connection,
                "SELECT t.name, t.wanted, t.kept_as, t.base, t.made_by, t.made_utc, r.count, r.od_um, "
                "r.thickness_um, t.clamp_od_um FROM job_tries t JOIN job_try_rows r USING (job_id, name) "
                "WHERE t.job_id = ?1 ORDER BY t.made_utc, t.name, r.position",
                id);
    while (query.next()) {
        if (tries.empty() || tries.back().name != query.text(0)) {
            tries.push_back({std::string(job),
                             query.text(0),
                             query.text(1),
                             parseTryUse(query.text(2)),
                             query.text(3),
                             query.text(4),
                             query.utc(5),
                             {},
                             query.optionalLength(9)});
        }
        tries.back().rows.push_back({query.integer(6), query.length(7), query.length(8), {}});
    }
    return tries;
}

std::optional<StackTry> StackTries::find(std::string_view job, std::string_view name) const {
    for (StackTry& tried : ofJob(job)) {
        if (tried.name == name) return std::move(tried);
    }
    return std::nullopt;
}

std::string StackTries::freeName(std::string_view job, std::string_view what) const {
    const auto tries = ofJob(job);
    for (std::size_t number = 1;; ++number) {
        std::string name = std::string(what) + " " + std::to_string(number);
        if (std::none_of(tries.begin(), tries.end(), [&](const StackTry& one) { return one.name == name; }))
            return name;
    }
}

} // namespace shimledger::inventory
