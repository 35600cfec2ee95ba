// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/ledger/job_rows.h"

#include "inventory/job_end.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/quoted.h"

namespace shimledger::inventory {

namespace {

void mustBeAboveZero(const std::string& who, std::string_view column, std::string_view noun, Length value) {
    if (value > Length()) return;
    throw FieldError(column,
                     who + " has " + withArticle(noun) + " of " + value.text() + " mm: it must be above 0");
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
    if (job.due && *job.due < job.opened) {
        throw FieldError("due", who + " is due on " + job.due->text() + ", before it was opened on " +
                                    job.opened.text());
    }
    if (job.priority < 0 || job.priority > 9) {
        throw FieldError("priority", who + " has priority " + std::to_string(job.priority) + ": give 0 to 9");
    }
}

void checkStackRow(const Job& job, StackRole role, int leg, const StackRow& row, std::int64_t row_number) {
    const std::string who = "job " + inQuotes(job.code) + ", " + std::string(stackRoleName(role)) + " row " +
                            std::to_string(row_number);
    const bool leg_fits = role == StackRole::asFound ? leg >= 1 && leg <= job.legs : leg == 0;
    if (!leg_fits) {
        throw FieldError("leg", who + " is for leg " + std::to_string(leg) + ": " +
                                    (role == StackRole::asFound
                                         ? "the job has legs 1 to " + std::to_string(job.legs)
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
    const JobValve& valve = job.valve;
    Query(connection,
          "INSERT INTO jobs (code, customer, model_id, valve_name, clamp_od_um, port_inner_diameter_um, "
          "port_outer_diameter_um, shim_id_um, seat_diameter_um, preload_um, legs, opened, due, priority, "
          "status, "
          "note, component) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, 'open', "
          "?15, ?16)",
          job.code, job.customer, model_id, valve.name, valve.clamp_od, valve.port_inner_diameter,
          valve.port_outer_diameter, valve.shim_id, valve.seat_diameter, valve.preload, job.legs, job.opened,
          job.due, job.priority, job.note, job.component)
        .run();
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

const std::string& jobColumns() {
    static const std::string columns =
        "SELECT j.code, j.customer, m.code, j.valve_name, j.clamp_od_um, j.port_inner_diameter_um, "
        "j.port_outer_diameter_um, j.shim_id_um, j.seat_diameter_um, j.preload_um, j.legs, j.opened, j.due, "
        "j.priority, j.status, j.note, j.component, j.ended_utc FROM jobs j JOIN component_models m USING "
        "(model_id) ";
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
    return job;
}

} // namespace shimledger::inventory
