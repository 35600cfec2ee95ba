// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/ledger/job_rows.h"

#include "inventory/job_end.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/quoted.h"

#include <algorithm>

namespace shimledger::inventory {

namespace {

void mustBeAboveZero(const std::string& who, std::string_view column, std::string_view noun, Length value) {
    if (value > Length()) return;
    throw FieldError(column,
                     who + " has " + withArticle(noun) + " of " + value.text() + " mm: it must be above 0");
}

/// Each valve of a component says the same of it.
void checkSharedOfComponent(ShopConnection& connection, const Job& job, std::int64_t component_id) {
    static const std::string sql = jobColumns() + "WHERE j.job_id = ?1"; // a query keeps no copy of it
    Query query(connection, sql, component_id);
    query.mustRow();
    const Job component = readJob(query);
    const std::string who = "job " + inQuotes(job.code);
    if (!component.valve_of.empty()) {
        throw FieldError("valve_of", who + " is a valve of job " + inQuotes(component.code) +
                                         ", which is itself a valve of job " + inQuotes(component.valve_of) +
                                         ": name that one");
    }
    const auto mustBeSame = [&](std::string_view column, std::string_view noun, bool same) {
        if (same) return;
        throw FieldError(column, who + " is a valve of job " + inQuotes(component.code) +
                                     ", but has another " + std::string(noun) + ": a component has one");
    };
    mustBeSame("model", "model", job.model == component.model);
    mustBeSame("customer", "customer", job.customer == component.customer);
    mustBeSame("component", "component mark", job.component == component.component);
    mustBeSame("opened", "opening day", job.opened == component.opened);
    mustBeSame("due", "due day", job.due == component.due);
    mustBeSame("priority", "priority", job.priority == component.priority);
}

} // namespace

void checkValve(const std::string& who, const JobValve& valve) {
    checkFreeText(valve.name, "valve", "valve");
    if (valve.name.empty()) throw FieldError("valve", who + " does not say which valve it is about");
    mustBeAboveZero(who, "clamp_od_mm", "clamp diameter", valve.clamp_od);
    mustBeAboveZero(who, "port_inner_diameter_mm", "port's inner diameter", valve.port_inner_diameter);
    mustBeAboveZero(who, "port_outer_diameter_mm", "port's outer diameter", valve.port_outer_diameter);
    mustBeAboveZero(who, "shim_id_mm", "shim inner diameter", valve.shim_id);
    if (valve.port_outer_diameter <= valve.port_inner_diameter) {
        throw FieldError("port_outer_diameter_mm", who + " has a port whose outer diameter of " +
                                                       valve.port_outer_diameter.text() +
                                                       " mm is not above its inner diameter of " +
                                                       valve.port_inner_diameter.text() + " mm");
    }
    if (valve.seat_diameter) mustBeAboveZero(who, "seat_diameter_mm", "seat diameter", *valve.seat_diameter);
    if (valve.preload && *valve.preload < Length()) {
        throw FieldError("preload_mm",
                         who + " has a preload of " + valve.preload->text(2) + " mm: it is 0 or more");
    }
}

void checkJob(const Job& job) {
    checkCode(job.code, "job code", "job");
    checkFreeText(job.customer, "customer", "customer");
    checkFreeText(job.note, "note", "note");
    checkFreeText(job.component, "component", "component");
    const std::string who = "job " + inQuotes(job.code);
    checkValve(who, job.valve);
    if (job.legs < 1 || job.legs > 4) {
        throw FieldError("legs", who + " has " + std::to_string(job.legs) + " legs: give 1 to 4");
    }
    if (job.first_leg < 1 || lastLeg(job) > 4) {
        throw FieldError("first_leg", who + " has its valve in legs " + std::to_string(job.first_leg) +
                                          " to " + std::to_string(lastLeg(job)) + ": there are legs 1 to 4");
    }
    if (job.due && *job.due < job.opened) {
        throw FieldError("due", who + " is due on " + job.due->text() + ", before it was opened on " +
                                    job.opened.text());
    }
    if (job.priority < 0 || job.priority > 9) {
        throw FieldError("priority", who + " has priority " + std::to_string(job.priority) + ": give 0 to 9");
    }
}

LegRange legsOfValve(ShopConnection& connection, const Job& job) {
    Query query(connection,
                "SELECT min(v.first_leg), max(v.first_leg + v.legs - 1) FROM jobs v JOIN jobs me ON "
                "coalesce(v.valve_of_id, v.job_id) = coalesce(me.valve_of_id, me.job_id) AND v.valve_name = "
                "me.valve_name WHERE me.job_id = ?1",
                jobId(connection, job.code));
    query.mustRow();
    return {query.smallInteger(0), query.smallInteger(1)};
}

void checkStackRow(ShopConnection& connection, const Job& job, StackRole role, int leg, const StackRow& row,
                   std::int64_t row_number) {
    const std::string who = "job " + inQuotes(job.code) + ", " + std::string(stackRoleName(role)) + " row " +
                            std::to_string(row_number);
    const LegRange legs =
        role == StackRole::asFound ? legsOfValve(connection, job) : LegRange{0, 0}; // the same for every leg
    if (leg < legs.first || leg > legs.last) {
        throw FieldError("leg", who + " is for leg " + std::to_string(leg) + ": " +
                                    (role == StackRole::asFound
                                         ? "the job has legs " + std::to_string(legs.first) + " to " +
                                               std::to_string(legs.last)
                                         : std::string("this stack is the same for every leg, write 0")));
    }
    if (row.count < 1 || row.count > 1000) {
        throw FieldError("count", who + " has " + std::to_string(row.count) + " discs: give 1 to 1000");
    }
    mustBeAboveZero(who, "od_mm", "outer diameter", row.od);
    mustBeAboveZero(who, "thickness_mm", "thickness", row.thickness);
    if (row.replaces && (role != StackRole::build || *row.replaces < 1)) {
        throw FieldError("replaces",
                         who + " replaces row " + std::to_string(*row.replaces) +
                             ": only rows of a build stack replace rows of the target, counted from 1");
    }
}

void insertJob(ShopConnection& connection, const Job& job) {
    checkJob(job);
    if (findJobId(connection, job.code)) {
        throw FieldError("job", "job " + inQuotes(job.code) + " is there already");
    }
    const std::int64_t model_id = modelId(connection, job.model);
    if (Query(connection, "SELECT 1 FROM component_models WHERE model_id = ?1 AND retired = 1", model_id)
            .next()) {
        throw FieldError("model", "component model " + inQuotes(job.model) +
                                      " is retired: bring it back before a job is opened for it");
    }
    std::optional<std::int64_t> component_id;
    if (!job.valve_of.empty()) {
        component_id = findJobId(connection, job.valve_of);
        if (!component_id) {
            throw FieldError("valve_of", "there is no job " + inQuotes(job.valve_of) + " that " +
                                             inQuotes(job.code) + " could be a valve of");
        }
        checkSharedOfComponent(connection, job, *component_id);
        checkValvePlace(connection, job, *component_id);
    }
    const JobValve& valve = job.valve;
    Query(
        connection,
        "INSERT INTO jobs (code, customer, model_id, valve_name, clamp_od_um, port_inner_diameter_um, "
        "port_outer_diameter_um, shim_id_um, seat_diameter_um, preload_um, legs, opened, due, priority, "
        "status, "
        "note, component, valve_of_id, first_leg) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, "
        "?13, ?14, 'open', ?15, ?16, ?17, ?18)",
        job.code, job.customer, model_id, valve.name, valve.clamp_od, valve.port_inner_diameter,
        valve.port_outer_diameter, valve.shim_id, valve.seat_diameter, valve.preload, job.legs, job.opened,
        job.due, job.priority, job.note, job.component, component_id, job.first_leg)
        .run();
}

void checkValvePlace(ShopConnection& connection, const Job& valve, std::int64_t component_id,
                     std::int64_t except) {
    Query query(
        connection,
        "SELECT code, first_leg, legs FROM jobs WHERE coalesce(valve_of_id, job_id) = ?1 AND job_id <> "
        "?2 AND lower(valve_name) = lower(?3) AND status <> 'cancelled' ORDER BY code",
        component_id, except, valve.valve.name);
    while (query.next()) {
        const int first = query.smallInteger(1), last = first + query.smallInteger(2) - 1;
        if (last < valve.first_leg || first > lastLeg(valve)) continue;
        throw FieldError("valve", "job " + inQuotes(query.text(0)) + " is the " + valve.valve.name +
                                      " valve of leg " + std::to_string(std::max(first, valve.first_leg)) +
                                      " already: give another name, or other legs");
    }
}

void insertStackRow(ShopConnection& connection, std::int64_t job_id, StackRole role, int leg,
                    std::int64_t position, const StackRow& row) {
    Query(connection,
          "INSERT INTO job_stack_rows (job_id, role, leg, position, count, od_um, thickness_um, replaces) "
          "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
          job_id, stackRoleName(role), leg, position, row.count, row.od, row.thickness, row.replaces)
        .run();
}

std::int64_t livingJobId(ShopConnection& connection, std::string_view code) {
    const std::int64_t id = jobId(connection, code);
    Query query(connection, "SELECT status FROM jobs WHERE job_id = ?1", id);
    query.mustRow();
    const JobStatus status = parseJobStatus(query.text(0));
    if (hasEnded(status)) {
        throw FieldError("job", "job " + inQuotes(code) + " is " + std::string(jobStatusName(status)) +
                                    ": it is not changed any more");
    }
    return id;
}

std::int64_t livingComponentId(ShopConnection& connection, std::string_view code) {
    const std::int64_t id = livingJobId(connection, code);
    Query query(connection,
                "SELECT c.code FROM jobs j JOIN jobs c ON c.job_id = j.valve_of_id WHERE j.job_id = ?1", id);
    if (query.next()) {
        throw FieldError("job", "job " + inQuotes(code) + " is a valve of job " + inQuotes(query.text(0)) +
                                    ": wear parts and findings are of the whole component, give them there");
    }
    return id;
}

const std::string& jobColumns() {
    static const std::string columns =
        "SELECT j.code, j.customer, m.code, j.valve_name, j.clamp_od_um, j.port_inner_diameter_um, "
        "j.port_outer_diameter_um, j.shim_id_um, j.seat_diameter_um, j.preload_um, j.legs, j.opened, j.due, "
        "j.priority, j.status, j.note, j.component, j.ended_utc, c.code, j.first_leg FROM jobs j JOIN "
        "component_models m ON m.model_id = j.model_id LEFT JOIN jobs c ON c.job_id = j.valve_of_id ";
    return columns;
}

Job readJob(const Query& row) {
    Job job;
    job.code = row.text(0);
    job.customer = row.text(1);
    job.model = row.text(2);
    job.valve.name = row.text(3);
    job.valve.clamp_od = row.length(4);
    job.valve.port_inner_diameter = row.length(5);
    job.valve.port_outer_diameter = row.length(6);
    job.valve.shim_id = row.length(7);
    job.valve.seat_diameter = row.optionalLength(8);
    job.valve.preload = row.optionalLength(9);
    job.legs = row.smallInteger(10);
    job.opened = row.date(11);
    job.due = row.optionalDate(12);
    job.priority = row.smallInteger(13);
    job.status = parseJobStatus(row.text(14));
    job.note = row.text(15);
    job.component = row.text(16);
    if (!row.isNull(17)) job.ended = row.utc(17);
    job.valve_of = row.textOrEmpty(18);
    job.first_leg = row.smallInteger(19);
    return job;
}

} // namespace shimledger::inventory
