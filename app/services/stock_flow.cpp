// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/stock_flow.h"

#include "app/services/component_valves.h"
#include "app/services/history_text.h"
#include "app/services/scan.h"
#include "app/services/strip_sheet.h"
#include "inventory/issued_pieces.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_history.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <map>

namespace shimledger::services {

namespace {

using inventory::MovementKind;
using inventory::MovementLine;

FlowStep told(inventory::ShopFile& shop, inventory::PostedBatch batch) {
    FlowStep step;
    step.batch = std::move(batch);
    const inventory::PartCatalogue catalogue(shop);
    for (const auto& entry : inventory::StockHistory(shop).ofBatch(step.batch.batch)) {
        const bool second_half = entry.kind == MovementKind::move && entry.on_hand_change > 0;
        if (second_half) continue;
        step.sentences.push_back(movementSentence(entry, quantityUnitName(catalogue.get(entry.part).unit)));
    }
    return step;
}

FlowStep post(inventory::ShopFile& shop, MovementKind kind, const PieceMove& move) {
    FlowStep step;
    shop.atomically([&] {
        MovementLine line;
        line.kind = kind;
        line.part = move.part;
        line.bin = binOfScan(shop, move.bin).code;
        line.condition = move.condition;
        line.quantity = move.quantity;
        line.job = move.job;
        if (kind == MovementKind::move) line.to_bin = binOfScan(shop, move.to_bin).code;
        line.reason = move.reason;
        step = told(shop, inventory::StockLedger(shop).post({line}));
    });
    return step;
}

std::string inMarks(std::string_view text) {
    return "'" + std::string(text.substr(0, 60)) + "'";
}

/// Sentences on what was pulled for the job and has not come back to a drawer.
std::vector<std::string> pulledAndNotReturned(inventory::ShopFile& shop, std::string_view job) {
    std::map<std::string, std::int64_t> pieces;
    for (const auto& out : inventory::issuedPieces(shop, job)) pieces[out.part] += out.quantity;
    std::vector<std::string> notes;
    for (const auto& [part, quantity] : pieces) {
        notes.push_back(std::to_string(quantity) + " of " + part +
                        " were pulled for it and have not been put back");
    }
    return notes;
}

bool isOf(const PullChoice& choice, const inventory::Reservation& reservation) {
    return (choice.part.empty() || choice.part == reservation.part) &&
           (!choice.condition || *choice.condition == reservation.condition) &&
           (!choice.wanted_part || *choice.wanted_part == reservation.wanted_part) &&
           (choice.valve.empty() || choice.valve == reservation.job);
}

/// What is reserved for the job in a drawer, of the choice; never nothing.
std::vector<inventory::Reservation> reservedIn(inventory::ShopFile& shop, std::string_view job,
                                               const std::string& bin, const PullChoice& choice) {
    auto held = reservedForValves(shop, job);
    const std::string next_bin = held.empty() ? std::string() : held.front().bin;
    std::erase_if(held, [&](const auto& lot) { return lot.bin != bin || !isOf(choice, lot); });
    if (!held.empty()) return held;
    const std::string condition =
        choice.condition ? std::string(conditionName(*choice.condition)) + " " : std::string();
    throw InputError("nothing " + condition +
                     (choice.part.empty() ? std::string() : "of part " + inMarks(choice.part) + " ") +
                     "is reserved for job " + inMarks(job) + " in bin " + inMarks(bin) + ": " +
                     (next_bin.empty() ? "all of it is pulled, or nothing was reserved"
                                       : "the next pull is from bin " + inMarks(next_bin)));
}

/// Everything that is reserved for the job's valves, in one batch.
FlowStep postAll(inventory::ShopFile& shop, std::string_view job, MovementKind kind,
                 std::string_view reason) {
    std::vector<MovementLine> lines;
    for (const auto& held : reservedForValves(shop, job))
        lines.push_back(inventory::movementOf(held, kind, reason));
    return told(shop, inventory::StockLedger(shop).post(lines));
}

} // namespace

std::vector<PullLine> openPulls(inventory::ShopFile& shop, std::string_view job) {
    std::vector<PullLine> pulls;
    shop.consistently([&] {
        const inventory::PartCatalogue catalogue(shop);
        for (auto& held : reservedForValves(shop, job)) {
            std::string what = inventory::partText(catalogue.get(held.part));
            pulls.push_back({std::move(held), std::move(what)});
        }
    });
    return pulls;
}

FlowStep pullFromBin(inventory::ShopFile& shop, std::string_view job, std::string_view scanned_bin,
                     const PullChoice& choice) {
    FlowStep step;
    shop.atomically([&] {
        const std::string bin = binOfScan(shop, scanned_bin).code;
        std::vector<MovementLine> lines;
        for (const auto& lot : reservedIn(shop, job, bin, choice))
            lines.push_back(inventory::movementOf(lot, MovementKind::issue, "pulled"));
        step = told(shop, inventory::StockLedger(shop).post(lines));
    });
    return step;
}

FlowStep pullShort(inventory::ShopFile& shop, std::string_view job, std::string_view scanned_bin,
                   const PullChoice& choice, std::int64_t found, const std::string& reason) {
    FlowStep step;
    shop.atomically([&] {
        const std::string bin = binOfScan(shop, scanned_bin).code;
        std::vector<MovementLine> lines;
        std::int64_t wanted = 0, left = found;
        for (const auto& lot : reservedIn(shop, job, bin, choice)) {
            wanted += lot.quantity;
            const std::int64_t pulled = std::clamp<std::int64_t>(left, 0, lot.quantity);
            left -= pulled;
            for (const MovementKind kind : {MovementKind::issue, MovementKind::release}) {
                MovementLine line = inventory::movementOf(lot, kind, reason);
                line.quantity = kind == MovementKind::issue ? pulled : lot.quantity - pulled;
                if (line.quantity > 0) lines.push_back(std::move(line));
            }
        }
        if (found < 0 || found >= wanted) {
            throw InputError(std::to_string(wanted) + " are wanted from bin " + inMarks(bin) +
                             ": short is fewer than that, 0 for none, not " + std::to_string(found));
        }
        step = told(shop, inventory::StockLedger(shop).post(lines));
    });
    return step;
}

FlowStep pullAll(inventory::ShopFile& shop, std::string_view job) {
    FlowStep step;
    shop.atomically([&] { step = postAll(shop, job, MovementKind::issue, "pulled"); });
    return step;
}

FlowStep receivePieces(inventory::ShopFile& shop, const PieceMove& move) {
    return post(shop, MovementKind::receipt, move);
}

FlowStep issuePieces(inventory::ShopFile& shop, const PieceMove& move) {
    return post(shop, MovementKind::issue, move);
}

FlowStep returnPieces(inventory::ShopFile& shop, const PieceMove& move) {
    return post(shop, MovementKind::returned, move);
}

FlowStep scrapPieces(inventory::ShopFile& shop, const PieceMove& move) {
    if (move.reason.empty())
        throw InputError("say why part " + inMarks(move.part) + " is scrapped, such as bent");
    return post(shop, MovementKind::scrap, move);
}

FlowStep movePieces(inventory::ShopFile& shop, const PieceMove& move) {
    return post(shop, MovementKind::move, move);
}

FlowStep undoMovement(inventory::ShopFile& shop, std::int64_t movement, bool whole_batch,
                      std::string_view reason) {
    if (reason.empty()) throw InputError("say why movement " + std::to_string(movement) + " is undone");
    FlowStep step;
    shop.atomically([&] {
        inventory::StockLedger ledger(shop);
        std::int64_t batch = movement;
        if (whole_batch) {
            const auto entry = inventory::StockHistory(shop).movement(movement);
            if (!entry)
                throw InputError("there is no movement " + std::to_string(movement) + " in the ledger");
            batch = entry->batch;
        }
        step =
            told(shop, whole_batch ? ledger.reverseBatch(batch, reason) : ledger.reverse(movement, reason));
    });
    return step;
}

ReleasedJob releaseJob(inventory::ShopFile& shop, std::string_view job, std::string_view reason) {
    ReleasedJob released;
    shop.atomically([&] {
        for (const auto& held : reservedForValves(shop, job)) released.quantity += held.quantity;
        if (released.quantity == 0) return;
        released.step = postAll(shop, job, MovementKind::release, reason.empty() ? "released" : reason);
    });
    return released;
}

EndedJob closeJob(inventory::ShopFile& shop, std::string_view job, OpenReservations rest) {
    EndedJob ended;
    shop.atomically([&] {
        inventory::JobBook book(shop);
        static_cast<void>(book.get(job));
        if (rest == OpenReservations::issue) {
            for (const auto& held : reservedForValves(shop, job)) ended.issued += held.quantity;
            if (ended.issued > 0) postAll(shop, job, MovementKind::issue, "pulled as the job was closed");
        }
        for (const inventory::Job& valve : valvesOf(shop, job)) {
            for (const PutAwayLine& line : putAwayList(shop, valve.code).lines) {
                ended.notes.push_back(std::to_string(line.quantity) + " of " + line.part +
                                      " of the strip have not been put away");
            }
        }
        ended.released = book.close(job);
    });
    return ended;
}

EndedJob cancelJob(inventory::ShopFile& shop, std::string_view job, std::string_view reason) {
    EndedJob ended;
    shop.atomically([&] {
        for (const inventory::Job& valve : valvesOf(shop, job)) {
            for (std::string& note : pulledAndNotReturned(shop, valve.code))
                ended.notes.push_back(std::move(note));
        }
        ended.released = inventory::JobBook(shop).cancel(job, reason.empty() ? "job cancelled" : reason);
    });
    return ended;
}

} // namespace shimledger::services
