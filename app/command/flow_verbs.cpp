// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/scan.h"
#include "app/services/stock_flow.h"
#include "inventory/stock_snapshot.h"
#include "inventory/thickness_reading.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <ostream>

namespace shimledger::command {

namespace {

int tell(const services::FlowStep& step, Streams& streams) {
    for (std::size_t i = 0; i < step.sentences.size(); ++i) streams.out << step.sentences[i] << '\n';
    if (!step.batch.movements.empty()) {
        streams.out << "Movement " << step.batch.movements.front() << "; undo it by that number.\n";
    }
    return exit_done;
}

int runPiece(const FlowVerb& verb, Streams& streams,
             services::FlowStep (*step)(inventory::ShopFile&, const services::PieceMove&)) {
    auto shop = openShop(verb.shop_file, streams);
    mustBePart(shop, verb.part);
    mustBeJob(shop, verb.job);
    return tell(step(shop, pieceOf(verb)), streams);
}

} // namespace

services::PieceMove pieceOf(const FlowVerb& verb) {
    services::PieceMove move;
    move.part = verb.part;
    move.bin = verb.bin;
    move.quantity = verb.quantity;
    move.condition = verb.used ? inventory::Condition::used : inventory::Condition::fresh;
    move.job = verb.job;
    move.to_bin = verb.to_bin;
    move.reason = verb.reason;
    return move;
}

int runIssue(const FlowVerb& verb, Streams& streams) {
    return runPiece(verb, streams, &services::issuePieces);
}

int runReturn(const FlowVerb& verb, Streams& streams) {
    return runPiece(verb, streams, &services::returnPieces);
}

int runScrap(const FlowVerb& verb, Streams& streams) {
    return runPiece(verb, streams, &services::scrapPieces);
}

int runMove(const FlowVerb& verb, Streams& streams) {
    return runPiece(verb, streams, &services::movePieces);
}

int runUndo(const FlowVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    return tell(services::undoMovement(shop, verb.movement, verb.whole_batch, verb.reason), streams);
}

int runReading(const FlowVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBePart(shop, verb.part);
    const std::string bin = services::binOfScan(shop, verb.bin).code;
    const auto condition = verb.used ? inventory::Condition::used : inventory::Condition::fresh;
    shop.atomically([&] {
        for (const std::string& reading : verb.readings) {
            inventory::addReading(shop,
                                  {verb.part, bin, condition, millimetresOf("--mm", reading), shop.now()});
        }
    });
    for (const inventory::StockLot& lot : inventory::stockSnapshot(shop).lots) {
        if (lot.part != verb.part || lot.bin != bin || lot.condition != condition || !lot.measured) continue;
        streams.out << fmt::format(
            "{} readings of {} in {}: mean {}, {} to {}, standard deviation {:.4f} mm\n",
            lot.measured->readings, lot.part, bin, lot.measured->mean.text(3), lot.measured->least.text(3),
            lot.measured->greatest.text(3), lot.measured->deviation_mm);
        return exit_done;
    }
    streams.out << "Written down; nothing of it is in " << bin << " at present.\n";
    return exit_done;
}

} // namespace shimledger::command
