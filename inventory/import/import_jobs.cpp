// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/import/import_session.h"
#include "inventory/job_book.h"
#include "inventory/job_end.h"
#include "inventory/ledger/job_rows.h"
#include "inventory/ledger/order_rows.h"
#include "inventory/master_fields.h"
#include "inventory/stack_try.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"

namespace shimledger::inventory {

namespace {

void stageEnding(ImportSession& session, std::string_view what, const std::string& code,
                 std::string_view ending, std::int64_t line, const std::optional<UtcTime>& utc = {}) {
    Query(session.shop.connection(),
          "INSERT INTO import_endings (what, code, ending, line, utc) VALUES (?1, ?2, ?3, ?4, ?5)", what,
          code, ending, line, utc)
        .run();
}

} // namespace

void readJobLine(ImportSession& session, ImportRow& row) {
    Job job;
    job.code = row.filled("job");
    job.customer = row.text("customer");
    job.model = row.filled("model");
    job.valve.name = row.filled("valve");
    job.valve.clamp_od = row.length("clamp_od_mm");
    job.valve.port_inner_diameter = row.length("port_inner_diameter_mm");
    job.valve.port_outer_diameter = row.length("port_outer_diameter_mm");
    job.valve.shim_id = row.length("shim_id_mm");
    job.valve.seat_diameter = row.optionalLength("seat_diameter_mm");
    job.valve.preload = row.optionalLength("preload_mm");
    job.legs = row.small("legs", 1, 4);
    job.opened = row.date("opened");
    job.due = row.optionalDate("due");
    if (row.has("priority")) job.priority = row.small("priority", 0, 9);
    // Open, reserved and pulled follow from the movements; the two endings are given once those are in.
    if (row.has("status")) job.status = row.word("status", parseJobStatus);
    job.note = row.text("note");
    job.component = row.text("component");
    job.valve_of = row.text("valve_of");
    if (row.has("first_leg")) job.first_leg = row.small("first_leg", 1, 4);
    if (row.has("ended_utc")) {
        job.ended = row.utc("ended_utc");
        if (!hasEnded(job.status)) row.problem("ended_utc", "is not empty, but the job has not ended");
    }
    if (!row.good()) return;
    row.attempt([&] {
        insertJob(session.shop.connection(), job);
        if (hasEnded(job.status)) {
            stageEnding(session, "job", job.code, jobStatusName(job.status), row.line(), job.ended);
        }
    });
}

void readJobStackRow(ImportSession& session, ImportRow& row) {
    const std::string code = row.filled("job");
    const StackRole role = row.word("role", parseStackRole);
    const int leg = row.small("leg", 0, 4);
    const std::int64_t position = row.whole("position", 1, 1'000'000);
    StackRow disc;
    disc.count = row.whole("count", 1, 1000);
    disc.od = row.length("od_mm");
    disc.thickness = row.length("thickness_mm");
    if (row.has("replaces")) disc.replaces = row.small("replaces", 1, 1'000'000);
    const std::optional<Length> clamp_od = row.optionalLength("clamp_od_mm");
    if (clamp_od && role != StackRole::build)
        row.problem("clamp_od_mm", "is not empty, but only a build stack has a clamp of its own");
    if (!row.good()) return;
    row.attempt([&] {
        ShopConnection& connection = session.shop.connection();
        const std::int64_t job_id = livingJobId(connection, code);
        checkStackRow(connection, JobBook(session.shop).get(code), role, leg, disc, position);
        if (Query(
                connection,
                "SELECT 1 FROM job_stack_rows WHERE job_id = ?1 AND role = ?2 AND leg = ?3 AND position = ?4",
                job_id, stackRoleName(role), leg, position)
                .next()) {
            throw FieldError("position", "job " + inQuotes(code) + " has a row " + std::to_string(position) +
                                             " of this stack already");
        }
        insertStackRow(connection, job_id, role, leg, position, disc);
        if (clamp_od)
            Query(connection, "UPDATE jobs SET build_clamp_od_um = ?2 WHERE job_id = ?1", job_id, clamp_od)
                .run();
    });
}

void checkStackPositions(ImportSession& session) {
    Query query(
        session.shop.connection(),
        "SELECT j.code, r.role, r.leg, count(*), max(r.position) FROM job_stack_rows r JOIN jobs j USING "
        "(job_id) GROUP BY r.job_id, r.role, r.leg, j.job_id HAVING max(r.position) <> count(*) ORDER BY 1, "
        "2, 3");
    while (query.next()) {
        addProblem(session.report, {"job_stacks.csv", 0, 0, "position",
                                    "the " + query.text(1) + " stack of job " + inQuotes(query.text(0)) +
                                        ", leg " + std::to_string(query.integer(2)) + ", has " +
                                        std::to_string(query.integer(3)) + " rows, but positions up to " +
                                        std::to_string(query.integer(4)) + ": number them 1, 2, 3 ..."});
    }
    Query replaced(session.shop.connection(),
                   "SELECT j.code, r.position, r.replaces FROM job_stack_rows r JOIN jobs j USING (job_id) "
                   "WHERE r.replaces > (SELECT count(*) FROM job_stack_rows t WHERE t.job_id = r.job_id AND "
                   "t.role = 'target') ORDER BY 1, 2");
    while (replaced.next()) {
        addProblem(session.report,
                   {"job_stacks.csv", 0, 0, "replaces",
                    "row " + std::to_string(replaced.integer(1)) + " of the build stack of job " +
                        inQuotes(replaced.text(0)) + " replaces target row " +
                        std::to_string(replaced.integer(2)) + ", which the target has not"});
    }
}

void readJobTryRow(ImportSession& session, ImportRow& row) {
    StackTry tried;
    tried.job = row.filled("job");
    tried.name = row.filled("try");
    tried.wanted = row.text("wanted");
    if (row.has("kept_as")) tried.kept_as = row.word("kept_as", parseTryUse);
    tried.base = row.text("held_against");
    tried.made_by = row.text("made_by");
    tried.made = row.utc("made_utc");
    tried.clamp_od = row.optionalLength("clamp_od_mm");
    const std::int64_t position = row.whole("position", 1, 1000);
    StackRow disc;
    disc.count = row.whole("count", 1, 1000);
    disc.od = row.length("od_mm");
    disc.thickness = row.length("thickness_mm");
    if (!row.good()) return;
    row.attempt([&] {
        StackTries tries(session.shop);
        const auto before = tries.find(tried.job, tried.name);
        const std::size_t rows = before ? before->rows.size() : 0;
        if (position != static_cast<std::int64_t>(rows) + 1) {
            throw FieldError("position", "the row is number " + std::to_string(position) +
                                             ", but the try has " + std::to_string(rows) +
                                             " rows so far: number them 1, 2, 3 ... in order");
        }
        tried.rows = before ? before->rows : std::vector<StackRow>();
        if (before && *before != tried)
            throw FieldError("try", "the rows of try " + inQuotes(tried.name) + " of job " +
                                        inQuotes(tried.job) + " do not say the same of it");
        tries.addRow(tried, disc);
    });
}

void readJobConsumable(ImportSession& session, ImportRow& row) {
    const std::string job = row.filled("job");
    JobConsumable consumable;
    consumable.part = row.filled("part");
    consumable.quantity = row.whole("quantity", 1, 1'000'000'000);
    consumable.reason = row.text("reason");
    if (row.good()) row.attempt([&] { JobBook(session.shop).addConsumable(job, consumable); });
}

void readOrderHead(ImportSession& session, ImportRow& row) {
    PurchaseOrder order;
    order.code = row.filled("order");
    order.supplier = row.filled("supplier");
    order.ordered = row.utc("ordered_utc");
    if (row.has("closed")) order.closed = row.word("closed", parseYesNo);
    order.note = row.text("note");
    if (!row.good()) return;
    row.attempt([&] {
        insertOrder(session.shop.connection(), order);
        if (order.closed) stageEnding(session, "order", order.code, "closed", row.line());
    });
}

void readOrderLine(ImportSession& session, ImportRow& row) {
    const std::string order = row.filled("order");
    OrderLine line;
    line.number = row.whole("order_line", 1, 1'000'000'000);
    line.part = row.filled("part");
    line.packs = row.whole("packs", 1, 1'000'000);
    line.pack_size = row.whole("pack_size", 1, 1'000'000);
    line.pack_price = row.money("pack_price");
    if (row.good())
        row.attempt([&] { insertOrderLine(session.shop.connection(), order, line, line.number); });
}

} // namespace shimledger::inventory
