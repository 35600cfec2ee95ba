// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/job_book.h"

#include "inventory/job_end.h"
#include "inventory/job_valves.h"
#include "inventory/ledger/job_rows.h"
#include "inventory/stock_ledger.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

namespace shimledger::inventory {

namespace {

const std::string& selectOne() {
    static const std::string sql = jobColumns() + "WHERE j.code = ?1";
    return sql;
}

const std::string& selectInOrder() {
    static const std::string sql =
        jobColumns() + "WHERE ?1 IS NULL OR j.status = ?1 "
                       "ORDER BY j.priority DESC, j.due IS NULL, j.due, coalesce(c.code, j.code), "
                       "c.code IS NOT NULL, j.code";
    return sql;
}

std::vector<Job> readJobs(ShopConnection& connection, std::optional<std::string_view> status) {
    std::vector<Job> jobs;
    Query query(connection, selectInOrder(), status);
    while (query.next()) jobs.push_back(readJob(query));
    return jobs;
}

void checkReplacements(ShopConnection& connection, std::int64_t job_id, const JobStack& stack) {
    if (stack.role != StackRole::build) return;
    Query query(connection, "SELECT count(*) FROM job_stack_rows WHERE job_id = ?1 AND role = 'target'",
                job_id);
    query.mustRow();
    for (const StackRow& row : stack.rows) {
        if (row.replaces && *row.replaces > query.integer(0)) {
            throw FieldError("replaces", "a build row replaces target row " + std::to_string(*row.replaces) +
                                             ", but the target has " + std::to_string(query.integer(0)) +
                                             " rows");
        }
    }
}

std::int64_t componentIdOf(ShopConnection& connection, std::int64_t job_id) {
    Query query(connection, "SELECT coalesce(valve_of_id, job_id) FROM jobs WHERE job_id = ?1", job_id);
    query.mustRow();
    return query.integer(0);
}

std::int64_t quantityIn(ShopConnection& connection, std::int64_t job_id) {
    Query query(connection, "SELECT coalesce(sum(quantity), 0) FROM reservations WHERE job_id = ?1", job_id);
    query.mustRow();
    return query.integer(0);
}

std::int64_t end(ShopFile& shop, std::string_view code, JobStatus status, std::string_view reason) {
    ShopConnection& connection = shop.connection();
    WriteTransaction transaction(connection);
    static_cast<void>(livingJobId(connection, code));
    const Job job = JobBook(shop).get(code);
    if (status == JobStatus::closed && !job.valve_of.empty()) {
        throw FieldError("job", "job " + inQuotes(code) + " is a valve of job " + inQuotes(job.valve_of) +
                                    ": a component is closed as a whole, close that one");
    }
    std::int64_t released = 0;
    for (const Job& valve : valvesWithin(shop, code)) {
        if (!hasEnded(valve.status)) released += endValve(shop, valve.code, status, reason);
    }
    transaction.commit();
    return released;
}

} // namespace

std::int64_t endValve(ShopFile& shop, std::string_view code, JobStatus status, std::string_view reason) {
    ShopConnection& connection = shop.connection();
    const std::int64_t id = livingJobId(connection, code);
    const std::int64_t released = quantityIn(connection, id);
    if (released > 0) StockLedger(shop).releaseAll(code, reason);
    Query(connection, "UPDATE jobs SET status = ?2, ended_utc = ?3 WHERE job_id = ?1", id,
          jobStatusName(status), shop.now())
        .run();
    return released;
}

void JobBook::add(const Job& job) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    insertJob(connection, job);
    transaction.commit();
}

void JobBook::update(const Job& job) {
    checkJob(job);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = livingJobId(connection, job.code);
    const Job before = get(job.code);
    if (before.model != job.model || before.legs != job.legs || before.opened != job.opened) {
        throw InputError("job " + inQuotes(job.code) +
                         " keeps its model, legs and opening day: cancel it and open another instead");
    }
    if (before.valve_of != job.valve_of || before.first_leg != job.first_leg) {
        throw InputError("job " + inQuotes(job.code) + " keeps its component and its legs here");
    }
    if (!job.valve_of.empty() && (before.customer != job.customer || before.component != job.component ||
                                  before.due != job.due || before.priority != job.priority)) {
        throw InputError("job " + inQuotes(job.code) + " is a valve of job " + inQuotes(job.valve_of) +
                         ": customer, component, due day and priority are changed there, for all its valves");
    }
    if (before.valve.name != job.valve.name)
        checkValvePlace(connection, job, componentIdOf(connection, id), id);
    Query(connection,
          "UPDATE jobs SET customer = ?2, component = ?3, due = ?4, priority = ?5 WHERE valve_of_id = ?1", id,
          job.customer, job.component, job.due, job.priority)
        .run();
    const JobValve& valve = job.valve;
    Query(connection,
          "UPDATE jobs SET customer = ?2, valve_name = ?3, clamp_od_um = ?4, port_inner_diameter_um = ?5, "
          "port_outer_diameter_um = ?6, shim_id_um = ?7, seat_diameter_um = ?8, preload_um = ?9, due = ?10, "
          "priority = ?11, note = ?12, component = ?13 WHERE job_id = ?1",
          id, job.customer, valve.name, valve.clamp_od, valve.port_inner_diameter, valve.port_outer_diameter,
          valve.shim_id, valve.seat_diameter, valve.preload, job.due, job.priority, job.note, job.component)
        .run();
    transaction.commit();
}

std::optional<Job> JobBook::find(std::string_view code) const {
    Query query(m_shop.connection(), selectOne(), code);
    if (!query.next()) return std::nullopt;
    return readJob(query);
}

Job JobBook::get(std::string_view code) const {
    if (auto job = find(code)) return *job;
    throw FieldError("job", "there is no job " + inQuotes(code) + " in the shop file");
}

std::vector<Job> JobBook::list() const {
    return readJobs(m_shop.connection(), std::nullopt);
}

std::vector<Job> JobBook::listStatus(JobStatus status) const {
    return readJobs(m_shop.connection(), jobStatusName(status));
}

void JobBook::setStack(std::string_view job, const JobStack& stack) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = livingJobId(connection, job);
    const Job owner = get(job);
    std::int64_t position = 0;
    for (const StackRow& row : stack.rows)
        checkStackRow(connection, owner, stack.role, stack.leg, row, ++position);
    if (stack.clamp_od && (stack.role != StackRole::build || *stack.clamp_od <= Length()))
        throw FieldError("clamp_od_mm", "only a build stack stands on a clamp of its own, above 0 mm");
    checkReplacements(connection, id, stack);
    Query(connection, "DELETE FROM job_stack_rows WHERE job_id = ?1 AND role = ?2 AND leg = ?3", id,
          stackRoleName(stack.role), stack.leg)
        .run();
    position = 0;
    for (const StackRow& row : stack.rows)
        insertStackRow(connection, id, stack.role, stack.leg, ++position, row);
    if (stack.role == StackRole::build)
        Query(connection, "UPDATE jobs SET build_clamp_od_um = ?2 WHERE job_id = ?1", id, stack.clamp_od)
            .run();
    transaction.commit();
}

std::optional<JobStack> JobBook::stack(std::string_view job, StackRole role, int leg) const {
    for (JobStack& stack : stacks(job)) {
        if (stack.role == role && stack.leg == leg) return std::move(stack);
    }
    return std::nullopt;
}

std::vector<JobStack> JobBook::stacks(std::string_view job) const {
    ShopConnection& connection = m_shop.connection();
    std::vector<JobStack> stacks;
    Query query(
        connection,
        "SELECT role, leg, count, od_um, thickness_um, replaces FROM job_stack_rows WHERE job_id = ?1 "
        "ORDER BY CASE role WHEN 'as_found' THEN 0 WHEN 'target' THEN 1 ELSE 2 END, leg, position",
        jobId(connection, job));
    while (query.next()) {
        const StackRole role = parseStackRole(query.text(0));
        const int leg = query.smallInteger(1);
        if (stacks.empty() || stacks.back().role != role || stacks.back().leg != leg) {
            stacks.push_back({role, leg, {}});
        }
        StackRow row{query.integer(2), query.length(3), query.length(4), {}};
        if (!query.isNull(5)) row.replaces = query.smallInteger(5);
        stacks.back().rows.push_back(row);
    }
    if (!stacks.empty() && stacks.back().role == StackRole::build) {
        Query clamp(connection, "SELECT build_clamp_od_um FROM jobs WHERE job_id = ?1",
                    jobId(connection, job));
        clamp.mustRow();
        stacks.back().clamp_od = clamp.optionalLength(0);
    }
    return stacks;
}

void JobBook::setConsumables(std::string_view job, const std::vector<JobConsumable>& consumables) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = livingComponentId(connection, job);
    Query(connection, "DELETE FROM job_consumables WHERE job_id = ?1", id).run();
    for (const JobConsumable& consumable : consumables) addConsumable(job, consumable);
    transaction.commit();
}

void JobBook::addConsumable(std::string_view job, const JobConsumable& consumable) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = livingComponentId(connection, job);
    const std::int64_t part = partId(connection, consumable.part);
    checkFreeText(consumable.reason, "reason", "reason");
    if (consumable.quantity < 1) {
        throw FieldError("quantity", "job " + inQuotes(job) + " needs " +
                                         std::to_string(consumable.quantity) + " of part " +
                                         inQuotes(consumable.part) + ": give 1 or more");
    }
    if (Query(connection, "SELECT 1 FROM job_consumables WHERE job_id = ?1 AND part_id = ?2", id, part)
            .next()) {
        throw FieldError("part", "part " + inQuotes(consumable.part) + " is listed for job " + inQuotes(job) +
                                     " already");
    }
    Query(connection,
          "INSERT INTO job_consumables (job_id, part_id, position, quantity, reason) VALUES (?1, ?2, "
          "(SELECT coalesce(max(position), 0) + 1 FROM job_consumables WHERE job_id = ?1), ?3, ?4)",
          id, part, consumable.quantity, consumable.reason)
        .run();
    transaction.commit();
}

std::vector<JobConsumable> JobBook::consumables(std::string_view job) const {
    ShopConnection& connection = m_shop.connection();
    std::vector<JobConsumable> consumables;
    Query query(connection,
                "SELECT p.code, c.quantity, c.reason FROM job_consumables c JOIN parts p USING (part_id) "
                "WHERE c.job_id = ?1 ORDER BY c.position",
                jobId(connection, job));
    while (query.next()) consumables.push_back({query.text(0), query.integer(1), query.text(2)});
    return consumables;
}

std::int64_t JobBook::close(std::string_view job, std::string_view reason) {
    return end(m_shop, job, JobStatus::closed, reason);
}

std::int64_t JobBook::cancel(std::string_view job, std::string_view reason) {
    return end(m_shop, job, JobStatus::cancelled, reason);
}

} // namespace shimledger::inventory
