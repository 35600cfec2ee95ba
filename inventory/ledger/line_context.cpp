// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/ledger/line_context.h"

#include "inventory/part_kinds.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"

namespace shimledger::inventory {

namespace {

constexpr std::int64_t largest_quantity = 1'000'000'000;

std::string kindText(MovementKind kind) {
    const std::string name(movementKindName(kind));
    return (kind == MovementKind::issue ? "an " : "a ") + name;
}

void onlyFor(bool given, bool allowed, MovementKind kind, std::string_view column, std::string_view noun) {
    if (given && !allowed) {
        throw FieldError(column, kindText(kind) + " takes no " + std::string(noun) + ": leave it empty");
    }
}

void checkFields(const MovementLine& line) {
    const MovementKind kind = line.kind;
    const bool promise = kind == MovementKind::reserve || kind == MovementKind::release;
    const bool with_job = promise || kind == MovementKind::issue || kind == MovementKind::returned ||
                          kind == MovementKind::scrap;
    onlyFor(!line.job.empty(), with_job, kind, "job", "job");
    onlyFor(!line.wanted_part.empty(), promise || kind == MovementKind::issue, kind, "wanted_part",
            "wanted part");
    onlyFor(!line.to_bin.empty(), kind == MovementKind::move, kind, "to_bin", "second bin");
    onlyFor(!line.supplier.empty(), kind == MovementKind::receipt, kind, "supplier", "supplier");
    onlyFor(line.order_line.has_value(), kind == MovementKind::receipt, kind, "order_line", "order line");
    if (promise && line.job.empty()) {
        throw FieldError("job", kindText(kind) + " belongs to a job: say which");
    }
    if (kind == MovementKind::move && line.to_bin.empty()) {
        throw FieldError("to_bin", "a move needs the bin that the parts go to");
    }
    if (kind == MovementKind::move && line.to_bin == line.bin) {
        throw FieldError("to_bin", "a move from bin " + inQuotes(line.bin) + " into itself changes nothing");
    }
    checkFreeText(line.reason, "reason", "reason");
}

void checkQuantity(const MovementLine& line) {
    const std::int64_t least = line.kind == MovementKind::count ? 0 : 1;
    if (line.quantity >= least && line.quantity <= largest_quantity) return;
    throw FieldError("quantity", kindText(line.kind) + " of " + std::to_string(line.quantity) + " of part " +
                                     inQuotes(line.part) + ": give a whole number of " +
                                     std::to_string(least) + " to 1000000000");
}

using Lookup = std::int64_t (*)(ShopConnection&, std::string_view, std::string_view);

std::int64_t idOf(ShopConnection& connection, const std::string& code, std::string_view column, Lookup lookup,
                  std::unordered_map<std::string, std::int64_t>* known) {
    if (known == nullptr) return lookup(connection, code, column);
    if (const auto found = known->find(code); found != known->end()) return found->second;
    return known->emplace(code, lookup(connection, code, column)).first->second;
}

} // namespace

std::string LineContext::where() const {
    return "part " + inQuotes(line->part) + " (" + std::string(conditionName(line->condition)) + ") in bin " +
           inQuotes(line->bin);
}

std::string LineContext::forJob() const {
    return line->job.empty() ? std::string() : " for job " + inQuotes(line->job);
}

LineContext resolveLine(ShopConnection& connection, const MovementLine& line, BatchMemory* memory) {
    if (line.kind == MovementKind::reversal) {
        throw InputError("a reversal is posted by naming the movement that it undoes");
    }
    LineContext context;
    context.line = &line;
    auto* parts = memory == nullptr ? nullptr : &memory->parts;
    auto* bins = memory == nullptr ? nullptr : &memory->bins;
    context.lot.part = idOf(connection, line.part, "part", &partId, parts);
    context.lot.bin = idOf(connection, line.bin, "bin", &binId, bins);
    context.lot.condition = conditionNumber(line.condition);
    checkFields(line);
    checkQuantity(line);
    if (!line.job.empty()) {
        if (memory == nullptr) {
            context.job = jobId(connection, line.job);
        } else {
            if (memory->job_code != line.job) {
                memory->job = jobId(connection, line.job);
                memory->job_code = line.job;
                memory->job_is_alive = false;
            }
            context.job = memory->job;
            context.job_is_alive = memory->job_is_alive;
        }
    }
    if (!line.to_bin.empty()) context.to_bin = idOf(connection, line.to_bin, "to_bin", &binId, bins);
    if (!line.supplier.empty()) context.supplier = supplierId(connection, line.supplier);
    if (!line.wanted_part.empty() && line.wanted_part != line.part) {
        context.wanted_part = idOf(connection, line.wanted_part, "wanted_part", &partId, parts);
    }
    return context;
}

void checkJobAlive(ShopConnection& connection, std::int64_t job) {
    Query query(connection, "SELECT code, status FROM jobs WHERE job_id = ?1", job);
    query.mustRow();
    const std::string status = query.text(1);
    if (status == "closed" || status == "cancelled") {
        throw FieldError("job", "job " + inQuotes(query.text(0)) + " is " + status +
                                    ": nothing can be reserved for it or issued to it any more");
    }
}

} // namespace shimledger::inventory
