// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/purchase_orders.h"

#include "inventory/ledger/order_rows.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

namespace shimledger::inventory {

namespace {

std::vector<OrderLine> readLines(ShopConnection& connection, std::int64_t order) {
    std::vector<OrderLine> lines;
    Query query(
        connection,
        "SELECT l.order_line_id, p.code, l.packs, l.pack_size, l.pack_price, (SELECT "
        "coalesce(sum(m.on_hand_change), 0) FROM movements m WHERE m.order_line_id = l.order_line_id) "
        "FROM order_lines l JOIN parts p USING (part_id) WHERE l.order_id = ?1 ORDER BY l.order_line_id",
        order);
    while (query.next()) {
        lines.push_back({query.integer(0), query.text(1), query.integer(2), query.integer(3),
                         query.integer(4), query.integer(5)});
    }
    return lines;
}

PurchaseOrder readOrder(ShopConnection& connection, const Query& row) {
    PurchaseOrder order;
    order.code = row.text(1);
    order.supplier = row.text(2);
    order.ordered = row.utc(3);
    order.closed = row.integer(4) != 0;
    order.note = row.text(5);
    order.lines = readLines(connection, row.integer(0));
    return order;
}

} // namespace

PurchaseOrder PurchaseOrders::place(const PurchaseOrder& order) {
    if (order.lines.empty()) throw FieldError("order", "order " + inQuotes(order.code) + " has no lines");
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    insertOrder(connection, order);
    for (const OrderLine& line : order.lines) insertOrderLine(connection, order.code, line, std::nullopt);
    PurchaseOrder placed = find(order.code).value();
    transaction.commit();
    return placed;
}

void PurchaseOrders::close(std::string_view code) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    closeOrder(connection, code);
    transaction.commit();
}

std::optional<PurchaseOrder> PurchaseOrders::find(std::string_view code) const {
    ShopConnection& connection = m_shop.connection();
    Query query(connection,
                "SELECT o.order_id, o.code, s.name, o.ordered_utc, o.closed, o.note FROM purchase_orders o "
                "JOIN suppliers s USING (supplier_id) WHERE o.code = ?1",
                code);
    if (!query.next()) return std::nullopt;
    return readOrder(connection, query);
}

std::vector<PurchaseOrder> PurchaseOrders::list() const {
    ShopConnection& connection = m_shop.connection();
    std::vector<PurchaseOrder> orders;
    Query query(connection,
                "SELECT o.order_id, o.code, s.name, o.ordered_utc, o.closed, o.note FROM purchase_orders o "
                "JOIN suppliers s USING (supplier_id) ORDER BY o.order_id");
    while (query.next()) orders.push_back(readOrder(connection, query));
    return orders;
}

std::map<std::string, std::int64_t> PurchaseOrders::onOrder() const {
    std::map<std::string, std::int64_t> expected;
    for (const PurchaseOrder& order : list()) {
        if (order.closed) continue;
        for (const OrderLine& line : order.lines) {
            if (line.received < line.ordered()) expected[line.part] += line.ordered() - line.received;
        }
    }
    return expected;
}

} // namespace shimledger::inventory
