// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/receive_order.h"

#include "app/services/scan.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/purchase_orders.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/input_error.h"

#include <algorithm>

namespace shimledger::services {

namespace {

inventory::PurchaseOrder orderCalled(inventory::ShopFile& shop, std::string_view code) {
    if (auto order = inventory::PurchaseOrders(shop).find(code)) return *order;
    throw InputError("there is no order '" + std::string(code.substr(0, 60)) + "' in the shop file");
}

// Lines, as pieces and ml make no sum.
std::int64_t linesOpen(const inventory::PurchaseOrder& order) {
    return std::count_if(order.lines.begin(), order.lines.end(),
                         [](const auto& line) { return line.received < line.ordered(); });
}

std::string usualBin(const std::vector<inventory::StockLot>& lots, const std::string& part) {
    for (const auto& lot : lots) {
        if (lot.part == part && lot.condition == inventory::Condition::fresh && !lot.bin_retired)
            return lot.bin;
    }
    return {};
}

} // namespace

std::vector<ExpectedLine> expectedLines(inventory::ShopFile& shop, std::string_view code) {
    std::vector<ExpectedLine> lines;
    shop.consistently([&] {
        const inventory::PartCatalogue catalogue(shop);
        const auto lots = inventory::stockSnapshot(shop).lots;
        const auto orders = code.empty() ? inventory::PurchaseOrders(shop).list()
                                         : std::vector<inventory::PurchaseOrder>{orderCalled(shop, code)};
        for (const auto& order : orders) {
            if (order.closed) continue;
            for (const auto& line : order.lines) {
                if (line.received >= line.ordered()) continue;
                lines.push_back({order.code, order.supplier, line.number, line.part,
                                 inventory::partText(catalogue.get(line.part)), line.ordered(), line.received,
                                 usualBin(lots, line.part)});
            }
        }
    });
    return lines;
}

Delivery receiveOrder(inventory::ShopFile& shop, std::string_view code,
                      const std::vector<ReceivedLine>& lines, bool close) {
    Delivery delivery;
    shop.atomically([&] {
        const inventory::PurchaseOrder order = orderCalled(shop, code);
        if (order.closed) throw InputError("order '" + order.code + "' is closed: receive without it");
        if (lines.empty() && !close) throw InputError("order '" + order.code + "': say what has come");
        std::vector<inventory::MovementLine> movements;
        for (const ReceivedLine& received : lines) {
            const auto ordered = std::find_if(order.lines.begin(), order.lines.end(), [&](const auto& line) {
                return line.number == received.order_line;
            });
            if (ordered == order.lines.end()) {
                throw InputError("order '" + order.code + "' has no line " +
                                 std::to_string(received.order_line));
            }
            inventory::MovementLine movement;
            movement.kind = inventory::MovementKind::receipt;
            movement.part = ordered->part;
            movement.bin = binOfScan(shop, received.bin).code;
            movement.quantity = received.quantity;
            movement.supplier = order.supplier;
            movement.order_line = received.order_line;
            movement.reason = "order " + order.code;
            movements.push_back(std::move(movement));
        }
        if (!movements.empty()) delivery.batch = inventory::StockLedger(shop).post(movements);
        delivery.lines_open = linesOpen(orderCalled(shop, code));
        delivery.closed = close || delivery.lines_open == 0;
        if (delivery.closed) inventory::PurchaseOrders(shop).close(code);
    });
    return delivery;
}

} // namespace shimledger::services
