// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/verb_support.h"
#include "app/command/verbs.h"

#include "app/services/place_order.h"
#include "app/services/receive_order.h"
#include "inventory/reorder_class.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <charconv>
#include <ostream>
#include <set>

namespace shimledger::command {

namespace {

/// "PART=3" or "12=4@A01": what stands before the first "=", the number after it, and what follows "@".
struct Assignment {
    std::string name;
    std::int64_t number = 0;
    std::string place;
};

Assignment parseAssignment(const std::string& text, const char* form) {
    Assignment result;
    const auto equals = text.rfind('=');
    const auto at = std::min(text.find('@', equals == std::string::npos ? 0 : equals), text.size());
    const char* end = text.data() + at;
    if (equals != std::string::npos && equals > 0) {
        result.name = text.substr(0, equals);
        const auto [stop, error] = std::from_chars(text.data() + equals + 1, end, result.number);
        if (error == std::errc{} && stop == end) {
            if (at < text.size()) result.place = text.substr(at + 1);
            return result;
        }
    }
    throw InputError("'" + text.substr(0, 80) + "' is not of the form " + form);
}

nlohmann::json orderJson(const inventory::PurchaseOrder& order) {
    nlohmann::json lines = nlohmann::json::array();
    for (const auto& line : order.lines) {
        lines.push_back({{"line", line.number},
                         {"part", line.part},
                         {"packs", line.packs},
                         {"pack_size", line.pack_size},
                         {"pack_price", inventory::moneyText(line.pack_price)},
                         {"received", line.received}});
    }
    return {{"order", order.code},
            {"supplier", order.supplier},
            {"ordered_utc", order.ordered.text()},
            {"closed", order.closed},
            {"lines", lines}};
}

void tellOrder(const inventory::PurchaseOrder& order, std::ostream& out) {
    out << fmt::format("{}  {}  {}  {}\n", order.code, order.ordered.date().text(), order.supplier,
                       order.closed ? "closed" : "open");
    for (const auto& line : order.lines) {
        out << fmt::format("  line {}: {} x {}, {} of {} received\n", line.number, line.packs, line.part,
                           line.received, line.ordered());
    }
}

} // namespace

int runOrderList(const OrderVerb& verb, Streams& streams) {
    auto shop = inventory::ShopFile::openReadOnly(verb.shop_file);
    nlohmann::json root = nlohmann::json::array();
    int told = 0;
    for (const auto& order : inventory::PurchaseOrders(shop).list()) {
        if (order.closed && !verb.all) continue;
        ++told;
        if (verb.json) {
            root.push_back(orderJson(order));
        } else {
            tellOrder(order, streams.out);
        }
    }
    if (verb.json) {
        streams.out << root.dump(2) << '\n';
    } else if (told == 0) {
        streams.out << (verb.all ? "Nothing has been ordered yet.\n" : "No order is open.\n");
    }
    return exit_done;
}

int runOrderPlace(const OrderVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeSupplier(shop, verb.supplier);
    services::ReorderOptions options;
    if (!verb.waiting_day.empty()) options.waiting_day = inventory::parseMoney(verb.waiting_day);
    services::ReorderPlan plan = services::reorderPlan(shop, options);
    std::set<std::string> named;
    for (const std::string& change : verb.changes) {
        const Assignment wish = parseAssignment(change, "PART=PACKS, such as WASHER-6=2");
        if (!wish.place.empty()) throw InputError("'" + change + "' names a bin: packs are ordered for none");
        mustBePart(shop, wish.name);
        if (!named.insert(wish.name).second)
            throw InputError("--set names part '" + wish.name + "' twice: give it once");
        services::setPacks(shop, plan, verb.supplier, wish.name, wish.number);
    }
    for (const services::SupplierOrder& order : plan.orders) {
        if (order.supplier.name != verb.supplier) continue;
        const auto placed = services::placeOrder(shop, order, verb.order, verb.note);
        if (verb.json) {
            streams.out << orderJson(placed).dump(2) << '\n';
        } else {
            tellOrder(placed, streams.out);
            streams.out << fmt::format("{} is on order: {} {}\n", placed.code,
                                       inventory::moneyText(order.total()), order.supplier.currency);
        }
        return exit_done;
    }
    throw InputError("the plan has nothing to order from " + verb.supplier +
                     ": name a supplier of the plan, or add parts with --set PART=PACKS");
}

int runOrderReceive(const OrderVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeOrder(shop, verb.order);
    mustBeBin(shop, verb.bin);
    if (verb.all && !verb.changes.empty())
        throw InputError("--all is everything that is expected, --line what has come: give one of them");
    std::vector<services::ReceivedLine> lines;
    std::set<std::string> named;
    const auto expected = services::expectedLines(shop, verb.order);
    for (const std::string& change : verb.changes) {
        const Assignment came = parseAssignment(change, "LINE=QUANTITY or LINE=QUANTITY@BIN");
        const auto line = std::find_if(expected.begin(), expected.end(), [&](const auto& l) {
            return std::to_string(l.order_line) == came.name;
        });
        if (line == expected.end()) {
            std::string open;
            for (const auto& one : expected)
                open += (open.empty() ? "" : ", ") + std::to_string(one.order_line);
            throw InputError("order " + verb.order + " expects nothing on a line '" + came.name +
                             "': " + (open.empty() ? "nothing of it is open" : "its open lines are " + open));
        }
        if (!named.insert(came.name).second)
            throw InputError("--line names line " + came.name + " twice: add up what has come");
        lines.push_back({line->order_line, came.number, came.place.empty() ? line->bin : came.place});
    }
    if (verb.all) {
        for (const auto& line : expected) {
            if (line.expected() > 0) lines.push_back({line.order_line, line.expected(), line.bin});
        }
    }
    for (services::ReceivedLine& line : lines) {
        if (line.bin.empty()) line.bin = verb.bin;
        if (line.bin.empty()) {
            throw InputError("line " + std::to_string(line.order_line) +
                             " lies in no drawer yet: name one with " + "LINE=QUANTITY@BIN or --bin");
        }
    }
    const services::Delivery delivery = services::receiveOrder(shop, verb.order, lines, verb.close);
    streams.out << fmt::format("Lines received for {}: {}; still open: {}{}\n", verb.order, lines.size(),
                               delivery.lines_open, delivery.closed ? "; the order is closed" : "");
    return exit_done;
}

int runReorderClass(const ReorderClassVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBePartClass(shop, verb.part_class);
    inventory::ReorderClasses classes(shop);
    if (verb.set) {
        inventory::ReorderClass settings = classes.of(verb.part_class);
        if (verb.service_per_mille) settings.service_per_mille = *verb.service_per_mille;
        if (verb.review_days) settings.review_days = *verb.review_days;
        if (verb.line_cost) {
            try {
                settings.line_cost = inventory::parseMoney(*verb.line_cost);
            } catch (const InputError& error) {
                throw InputError(std::string("--line-cost: ") + error.what());
            }
        }
        if (verb.holding_percent) settings.holding_percent = *verb.holding_percent;
        if (verb.cover_months) settings.cover_months = *verb.cover_months;
        if (verb.dead_months) settings.dead_months = *verb.dead_months;
        classes.set(settings);
    }
    std::vector<inventory::ReorderClass> list = classes.list();
    if (list.empty()) list.push_back(classes.of(""));
    for (const auto& c : list) {
        streams.out << fmt::format("class {}: service {} per mille, review {} days, line {}, holding {} % a "
                                   "year, cover {} months, dead "
                                   "after {} months\n",
                                   c.part_class.empty() ? "(every other)" : c.part_class, c.service_per_mille,
                                   c.review_days, inventory::moneyText(c.line_cost), c.holding_percent,
                                   c.cover_months, c.dead_months);
    }
    return exit_done;
}

} // namespace shimledger::command
