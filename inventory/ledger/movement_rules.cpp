// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/ledger/movement_rules.h"

#include "inventory/inventory_error.h"
#include "inventory/ledger/count_loss.h"
#include "inventory/ledger/issued_net.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"

#include <algorithm>

namespace shimledger::inventory {

namespace {

[[noreturn]] void refuse(const LineContext& context, const std::string& sentence, std::int64_t available) {
    const MovementLine& line = *context.line;
    throw StockRefusal(sentence, line.part, line.bin, line.job, line.quantity, available);
}

// Nothing new comes in of a retired part, nor into a retired bin. What was pulled of a retired part may come
// back, and what lies in a retired bin can be counted and taken out.
void mayComeIn(ShopConnection& connection, const LineContext& context, std::int64_t bin,
               std::string_view bin_code, std::string_view bin_column) {
    const MovementLine& line = *context.line;
    const std::string what = std::to_string(line.quantity) + " of part " + inQuotes(line.part);
    if (line.kind == MovementKind::receipt &&
        Query(connection, "SELECT 1 FROM parts WHERE part_id = ?1 AND retired = 1", context.lot.part)
            .next()) {
        throw FieldError("part",
                         "cannot receive " + what +
                             ": the part is retired, nothing new of it comes in; bring it back first");
    }
    if (Query(connection, "SELECT 1 FROM bins WHERE bin_id = ?1 AND retired = 1", bin).next()) {
        throw FieldError(bin_column, "cannot put " + what + " into bin " + inQuotes(bin_code) +
                                         ": the bin is retired; name another one, or bring it back first");
    }
}

// `verb`: "reserve", "issue", ... `needed`: what must come out of available; less than the quantity where
// the job has some of it reserved.
void needAvailable(const LineContext& context, const LotBalance& balance, std::string_view verb,
                   std::int64_t needed) {
    if (balance.available() >= needed) return;
    const MovementLine& line = *context.line;
    std::string sentence =
        "cannot " + std::string(verb) + " " + std::to_string(line.quantity) + " of " + context.where() +
        context.forJob() + ": only " + std::to_string(balance.available()) + " available (on hand " +
        std::to_string(balance.on_hand) + ", reserved " + std::to_string(balance.reserved) + ")";
    const std::int64_t own = line.quantity - needed;
    if (own > 0) sentence += ", beside " + std::to_string(own) + " reserved for the job itself";
    refuse(context, sentence, balance.available() + own);
}

void checkOrderLine(ShopConnection& connection, const LineContext& context) {
    const MovementLine& line = *context.line;
    if (!line.order_line) return;
    Query query(connection,
                "SELECT l.part_id, l.packs * l.pack_size, o.code, o.closed, "
                "(SELECT coalesce(sum(m.on_hand_change), 0) FROM movements m WHERE m.order_line_id = "
                "l.order_line_id) "
                "FROM order_lines l JOIN purchase_orders o USING (order_id) WHERE l.order_line_id = ?1",
                *line.order_line);
    const std::string name = "order line " + std::to_string(*line.order_line);
    if (!query.next()) throw FieldError("order_line", "there is no " + name);
    const std::string of_order = name + " of order " + inQuotes(query.text(2));
    if (query.integer(0) != context.lot.part) {
        throw FieldError("order_line", of_order + " is for another part than " + inQuotes(line.part));
    }
    if (query.integer(3) != 0) throw FieldError("order_line", of_order + " is closed: receive without it");
    const std::int64_t expected = query.integer(1) - query.integer(4);
    if (line.quantity > expected) {
        throw FieldError("order_line", of_order + " still expects " +
                                           std::to_string(std::max<std::int64_t>(expected, 0)) + " of part " +
                                           inQuotes(line.part) + ", not " + std::to_string(line.quantity) +
                                           ": receive the rest without it");
    }
}

void checkRelease(ShopConnection& connection, const LineContext& context) {
    const MovementLine& line = *context.line;
    const std::int64_t own =
        reservedFor(connection, *context.job, context.lot, context.wanted_part.value_or(context.lot.part));
    if (own >= line.quantity) return;
    refuse(context,
           "cannot release " + std::to_string(line.quantity) + " of " + context.where() + context.forJob() +
               ": " + std::to_string(own) + " reserved for it" +
               (line.wanted_part.empty() ? "" : " in place of part " + inQuotes(line.wanted_part)),
           own);
}

// What comes back used to a job is either what was pulled for it, in whatever condition, or a disc that its
// strip found; new parts can only be those that were pulled. Used ones without a job may come from anywhere.
void checkReturn(ShopConnection& connection, const LineContext& context) {
    const MovementLine& line = *context.line;
    const bool used = line.condition == Condition::used;
    if (used && !context.job) return;
    std::int64_t can_come = 0;
    if (context.job) {
        const IssuedNet net = issuedNet(connection, *context.job, context.lot.part);
        can_come = used ? net.all() + net.found_and_not_back : net.of(0);
    } else {
        can_come = issuedWithoutJob(connection, context.lot.part);
    }
    if (can_come >= line.quantity) return;
    const std::string what = "cannot return " + std::to_string(line.quantity) + " of " + context.where() +
                             (line.job.empty() ? " without a job" : context.forJob()) + ": ";
    refuse(context,
           used ? what + "only " + std::to_string(can_come) +
                      " of it was pulled for the job or found in its stacks and is not back yet"
                : what + std::to_string(can_come) + " pulled and not yet returned",
           can_come);
}

// Counting is what finds the truth: what jobs were promised beyond it is given back, in the same batch.
std::vector<MovementRow> releasesByCount(ShopConnection& connection, const LineContext& context) {
    std::vector<MovementRow> rows;
    for (const CountLoss& loss : lossesByCount(connection, context.lot, context.line->quantity)) {
        MovementRow row;
        row.kind = MovementKind::release;
        row.lot = context.lot;
        row.quantity = loss.quantity;
        row.reserved_change = -loss.quantity;
        row.job = loss.job;
        if (loss.wanted_part != context.lot.part) row.wanted_part = loss.wanted_part;
        row.reason = "the count left less than was reserved";
        rows.push_back(std::move(row));
    }
    return rows;
}

} // namespace

std::vector<MovementRow> effectsOf(ShopConnection& connection, const LineContext& context) {
    const MovementLine& line = *context.line;
    HeldBalance held;
    if (line.kind == MovementKind::issue && context.job) {
        held = balanceHeldFor(connection, *context.job, context.lot,
                              context.wanted_part.value_or(context.lot.part));
    } else {
        held.balance = balanceOf(connection, context.lot);
    }
    const LotBalance& balance = held.balance;
    const std::int64_t quantity = line.quantity;

    MovementRow row;
    row.kind = line.kind;
    row.lot = context.lot;
    row.quantity = quantity;
    row.job = context.job;
    row.wanted_part = context.wanted_part;
    row.supplier = context.supplier;
    row.order_line = line.order_line;
    row.reason = line.reason;

    switch (line.kind) {
    case MovementKind::receipt:
        mayComeIn(connection, context, context.lot.bin, line.bin, "bin");
        checkOrderLine(connection, context);
        row.on_hand_change = quantity;
        break;
    case MovementKind::reserve:
        if (!context.job_is_alive) checkJobAlive(connection, *context.job);
        needAvailable(context, balance, "reserve", quantity);
        row.reserved_change = quantity;
        break;
    case MovementKind::release:
        checkRelease(connection, context);
        row.reserved_change = -quantity;
        break;
    case MovementKind::issue: {
        if (context.job && !context.job_is_alive) checkJobAlive(connection, *context.job);
        const std::int64_t from_own = std::min(held.own, quantity);
        needAvailable(context, balance, "issue", quantity - from_own);
        row.on_hand_change = -quantity;
        row.reserved_change = -from_own;
        break;
    }
    case MovementKind::returned:
        mayComeIn(connection, context, context.lot.bin, line.bin, "bin");
        checkReturn(connection, context);
        row.on_hand_change = quantity;
        break;
    case MovementKind::scrap:
        needAvailable(context, balance, "scrap", quantity);
        row.on_hand_change = -quantity;
        break;
    case MovementKind::count: {
        row.on_hand_change = quantity - balance.on_hand;
        std::vector<MovementRow> rows;
        if (quantity < balance.reserved) rows = releasesByCount(connection, context);
        rows.push_back(std::move(row));
        return rows;
    }
    case MovementKind::move: {
        mayComeIn(connection, context, *context.to_bin, line.to_bin, "to_bin");
        needAvailable(context, balance, "move", quantity);
        row.on_hand_change = -quantity;
        row.other_bin = context.to_bin;
        MovementRow in = row;
        in.lot.bin = *context.to_bin;
        in.other_bin = context.lot.bin;
        in.on_hand_change = quantity;
        return {row, in};
    }
    case MovementKind::reversal:
        throw std::logic_error("reversals have their own rule");
    }
    return {row};
}

MovementRow effectOfReversal(ShopConnection& connection, std::int64_t movement, std::string_view reason) {
    Query query(
        connection,
        "SELECT m.kind, m.part_id, m.bin_id, m.condition, m.quantity, m.on_hand_change, m.reserved_change, "
        "m.other_bin_id, m.job_id, m.wanted_part_id, m.supplier_id, m.order_line_id, "
        "(SELECT r.movement_id FROM movements r WHERE r.reverses_id = m.movement_id), "
        "p.code, b.code, (SELECT j.code FROM jobs j WHERE j.job_id = m.job_id) "
        "FROM movements m JOIN parts p USING (part_id) JOIN bins b USING (bin_id) WHERE m.movement_id = ?1",
        movement);
    const std::string name = "movement " + std::to_string(movement);
    if (!query.next()) throw FieldError("reverses", "there is no " + name + " in the ledger");
    if (!query.isNull(12)) {
        throw FieldError("reverses",
                         name + " has been undone already, by movement " + std::to_string(query.integer(12)));
    }
    const MovementKind kind = parseMovementKind(query.text(0));
    if (kind == MovementKind::reversal) {
        throw FieldError("reverses", name + " is itself a reversal: post what is right as a new movement");
    }

    MovementRow row;
    row.kind = MovementKind::reversal;
    row.lot = {query.integer(1), query.integer(2), query.smallInteger(3)};
    row.quantity = query.integer(4);
    row.on_hand_change = -query.integer(5);
    row.reserved_change = -query.integer(6);
    row.other_bin = query.optionalInteger(7);
    row.job = query.optionalInteger(8);
    row.wanted_part = query.optionalInteger(9);
    row.supplier = query.optionalInteger(10);
    row.order_line = query.optionalInteger(11);
    row.reverses = movement;
    row.reason = reason;

    const std::string part = query.text(13);
    const std::string bin = query.text(14);
    const std::string job = query.textOrEmpty(15);
    const std::string what = std::string("cannot undo ") + name + " (" + std::string(movementKindName(kind)) +
                             " of " + std::to_string(row.quantity) + " of part " + inQuotes(part) +
                             " in bin " + inQuotes(bin) + (job.empty() ? "" : " for job " + inQuotes(job)) +
                             "): ";
    if (row.job && row.reserved_change > 0) checkJobAlive(connection, *row.job);
    const LotBalance balance = balanceOf(connection, row.lot);
    if (row.job && row.reserved_change < 0) {
        const std::int64_t own =
            reservedFor(connection, *row.job, row.lot, row.wanted_part.value_or(row.lot.part));
        if (own + row.reserved_change < 0) {
            throw StockRefusal(what + "only " + std::to_string(own) + " of it still reserved for the job",
                               part, bin, job, row.quantity, own);
        }
    }
    if (balance.available() + row.on_hand_change - row.reserved_change < 0) {
        throw StockRefusal(what + "only " + std::to_string(balance.available()) + " available (on hand " +
                               std::to_string(balance.on_hand) + ", reserved " +
                               std::to_string(balance.reserved) + ")",
                           part, bin, job, row.quantity, balance.available());
    }
    if (kind == MovementKind::issue && (row.job || row.lot.condition == 0)) {
        const std::int64_t out = row.job ? issuedNet(connection, *row.job, row.lot.part).of(row.lot.condition)
                                         : issuedWithoutJob(connection, row.lot.part);
        if (out < row.quantity) {
            throw StockRefusal(what + "only " + std::to_string(out) +
                                   " of it still out, the rest was returned",
                               part, bin, job, row.quantity, out);
        }
    }
    return row;
}

} // namespace shimledger::inventory
