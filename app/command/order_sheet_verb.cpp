// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/sheet_back_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/reorder_sheet_reader.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <ostream>

namespace shimledger::command {

namespace {

nlohmann::json linesJson(const std::vector<services::SheetOrder>& sheets) {
    nlohmann::json root = nlohmann::json::array();
    for (const services::SheetOrder& sheet : sheets) {
        nlohmann::json lines = nlohmann::json::array();
        for (const services::SheetOrderLine& line : sheet.lines)
            lines.push_back({{"part", line.part}, {"packs", line.packs}, {"pack_size", line.pack_size}});
        root.push_back({{"supplier", sheet.supplier}, {"number", sheet.number}, {"lines", std::move(lines)}});
    }
    return root;
}

int preview(inventory::ShopFile& shop, const OrderSheetVerb& verb,
            const std::vector<services::SheetOrder>& sheets, Streams& streams) {
    const services::SheetPlan plan = services::applyReorderSheet(shop, services::reorderPlan(shop), sheets);
    if (verb.json) {
        const nlohmann::json root = {{"sheets", linesJson(sheets)},
                                     {"changes", plan.changes},
                                     {"notes", plan.notes},
                                     {"orders", nlohmann::json::array()}};
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    for (const services::SheetOrder& sheet : sheets)
        streams.out << fmt::format("{}: {} line{}\n", sheet.supplier, sheet.lines.size(),
                                   sheet.lines.size() == 1 ? "" : "s");
    for (const std::string& change : plan.changes) streams.out << "Changed: " << change << '\n';
    for (const std::string& note : plan.notes) streams.out << "Note: " << note << '\n';
    streams.out << "Nothing is ordered yet.\n";
    return exit_done;
}

} // namespace

int runOrderFromSheet(const OrderSheetVerb& verb, Streams& streams) {
    std::vector<services::SheetOrder> sheets = services::readReorderSheet(verb.in_file);
    auto shop = openShop(verb.shop_file, streams);
    mustBeSupplier(shop, verb.supplier);
    if (!verb.supplier.empty())
        std::erase_if(sheets, [&](const auto& sheet) { return sheet.supplier != verb.supplier; });
    if (sheets.empty()) throw InputError(verb.in_file + ": there is no order to " + verb.supplier + " in it");
    if (verb.preview) return preview(shop, verb, sheets, streams);
    const services::SheetPlan plan = services::applyReorderSheet(shop, {}, sheets);
    const auto placed = services::placeReorderSheet(shop, sheets, {}, verb.again);
    nlohmann::json orders = nlohmann::json::array();
    for (const auto& order : placed) {
        nlohmann::json lines = nlohmann::json::array();
        for (const auto& line : order.lines) {
            lines.push_back({{"line", line.number},
                             {"part", line.part},
                             {"packs", line.packs},
                             {"pack_size", line.pack_size},
                             {"pack_price", inventory::moneyText(line.pack_price)}});
        }
        orders.push_back({{"order", order.code}, {"supplier", order.supplier}, {"lines", std::move(lines)}});
    }
    if (verb.json) {
        const nlohmann::json root = {
            {"sheets", linesJson(sheets)}, {"notes", plan.notes}, {"orders", std::move(orders)}};
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    for (const std::string& note : plan.notes) streams.out << "Note: " << note << '\n';
    for (const auto& order : placed) {
        streams.out << fmt::format("{} is on order from {}: {} line{}\n", order.code, order.supplier,
                                   order.lines.size(), order.lines.size() == 1 ? "" : "s");
    }
    return exit_done;
}

} // namespace shimledger::command
