// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/history_text.h"
#include "app/services/scan.h"
#include "inventory/stock_movement.h"
#include "planner/units/input_error.h"

#include <nlohmann/json.hpp>

#include <ostream>

namespace shimledger::command {

namespace {

nlohmann::json changeJson(const services::HistoryLine& line) {
    const inventory::MasterChange& change = *line.change;
    return {{"utc", line.utc.text()},   {"changed", inventory::masterKindName(change.about.kind)},
            {"field", change.field},    {"item", change.item},
            {"before", change.before},  {"after", change.after},
            {"sentence", line.sentence}};
}

} // namespace

int runHistory(const HistoryVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    std::vector<services::HistoryLine> lines;
    if (verb.what == "part") {
        mustBePart(shop, verb.code);
        lines = services::partHistory(shop, verb.code);
    } else if (verb.what == "bin") {
        lines = services::binHistory(shop, services::binOfScan(shop, verb.code).code);
    } else if (verb.what == "job") {
        mustBeJob(shop, verb.code);
        lines = services::jobHistory(shop, verb.code);
    } else if (verb.what == "supplier") {
        mustBeSupplier(shop, verb.code);
        lines = services::supplierHistory(shop, verb.code);
    } else if (verb.what == "model") {
        mustBeModel(shop, verb.code, "'model list' names all");
        lines = services::modelHistory(shop, verb.code);
    } else if (verb.what == "class") {
        mustBePartClass(shop, verb.code);
        lines = services::classHistory(shop, verb.code);
    } else if (verb.what == "recipe") {
        mustBeRecipe(shop, verb.code);
        lines = services::recipeHistory(shop, verb.code);
    } else {
        throw InputError(
            "the history is that of a part, bin, job, supplier, model, recipe or class, not of '" +
            verb.what.substr(0, 40) + "'");
    }
    if (verb.json) {
        nlohmann::json root = nlohmann::json::array();
        for (const services::HistoryLine& line : lines) {
            if (line.change) {
                root.push_back(changeJson(line));
                continue;
            }
            root.push_back({{"number", line.number},
                            {"batch", line.batch},
                            {"utc", line.utc.text()},
                            {"movement", inventory::movementKindName(line.kind)},
                            {"sentence", line.sentence},
                            {"on_hand_change", line.on_hand_change},
                            {"on_hand_after", line.on_hand_after},
                            {"undone", line.undone}});
        }
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    for (const services::HistoryLine& line : lines) {
        if (line.change) {
            streams.out << line.utc.text() << "  " << line.sentence << '\n';
            continue;
        }
        streams.out << line.utc.text() << "  #" << line.number << "  " << line.sentence;
        if (verb.what != "job") streams.out << " " << line.on_hand_after << " there now.";
        streams.out << '\n';
    }
    if (lines.empty()) streams.out << "Nothing has happened to it yet.\n";
    return exit_done;
}

} // namespace shimledger::command
