#include "inventory/ledger/movement_rules.h"

#include "inventory/inventory_error.h"
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

std::string holdersOf(ShopConnection& connection, const LotKey& lot) {
    Query query(connection,
                "SELECT DISTINCT j.code FROM reservations r JOIN jobs j USING (job_id) "
                "WHERE r.part_id = ?1 AND r.bin_id = ?2 AND r.condition = ?3 ORDER BY j.code",
                lot.part, lot.bin, lot.condition);
    std::string jobs;
    while (query.next()) jobs += (jobs.empty() ? "" : ", ") + inQuotes(query.text(0));
    return jobs;
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
// strip found: of that diameter, and within a tenth of that thickness.
void checkUsedReturn(ShopConnection& connection, const LineContext& context) {
    Query query(
        connection,
        "SELECT (SELECT coalesce(-sum(m.on_hand_change), 0) FROM movements m WHERE m.job_id = ?1 AND "
        "+m.part_id = ?2 AND (m.kind IN ('issue', 'return') OR (m.kind = 'reversal' AND (SELECT o.kind FROM "
        "movements o WHERE o.movement_id = m.reverses_id) IN ('issue', 'return')))), "
        "(SELECT coalesce(sum(r.count), 0) FROM job_stack_rows r JOIN parts p ON p.part_id = ?2 "
        "WHERE r.job_id = ?1 AND r.role = 'as_found' AND r.od_um = p.od_um "
        "AND 10 * abs(r.thickness_um - p.thickness_um) <= p.thickness_um)",
        *context.job, context.lot.part);
    query.mustRow();
    const MovementLine& line = *context.line;
    const std::int64_t can_come = query.integer(0) + query.integer(1);
    if (can_come >= line.quantity) return;
    const std::int64_t left = std::max<std::int64_t>(can_come, 0);
    refuse(context,
           "cannot return " + std::to_string(line.quantity) + " of " + context.where() + context.forJob() +
               ": only " + std::to_string(left) +
               " of it was pulled for the job or found in its stacks and is not back yet",
           left);
}

// New parts can only be those that were pulled. Used ones without a job may come from anywhere.
void checkReturn(ShopConnection& connection, const LineContext& context) {
    const MovementLine& line = *context.line;
    if (line.condition == Condition::used) {
        if (context.job) checkUsedReturn(connection, context);
        return;
    }
    const std::int64_t out = netIssued(connection, context.lot.part, context.lot.condition, context.job);
    if (out >= line.quantity) return;
    refuse(context,
           "cannot return " + std::to_string(line.quantity) + " of " + context.where() +
               (line.job.empty() ? " without a job" : context.forJob()) + ": " + std::to_string(out) +
               " pulled and not yet returned",
           out);
}

void checkCount(ShopConnection& connection, const LineContext& context, const LotBalance& balance) {
    if (balance.reserved == 0) return;
    refuse(context,
           "cannot count " + context.where() + ": " + std::to_string(balance.reserved) +
               " of it reserved for job " + holdersOf(connection, context.lot) + "; pull or release first",
           balance.available());
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
        checkReturn(connection, context);
        row.on_hand_change = quantity;
        break;
    case MovementKind::scrap:
        needAvailable(context, balance, "scrap", quantity);
        row.on_hand_change = -quantity;
        break;
    case MovementKind::count:
        checkCount(connection, context, balance);
        row.on_hand_change = quantity - balance.on_hand;
        break;
    case MovementKind::move: {
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
    if (kind == MovementKind::issue && row.lot.condition == 0) {
        const std::int64_t out = netIssued(connection, row.lot.part, row.lot.condition, row.job);
        if (out < row.quantity) {
            throw StockRefusal(what + "only " + std::to_string(out) +
                                   " of it still out, the rest was returned",
                               part, bin, job, row.quantity, out);
        }
    }
    return row;
}

} // namespace shimledger::inventory
