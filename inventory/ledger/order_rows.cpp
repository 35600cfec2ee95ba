// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/ledger/order_rows.h"

#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"

namespace shimledger::inventory {

namespace {

void checkLine(std::string_view order, const OrderLine& line) {
    constexpr std::int64_t most = 1'000'000;
    const std::string who = "order " + inQuotes(order);
    if (line.packs < 1 || line.packs > most) {
        throw FieldError("packs", who + " asks for " + std::to_string(line.packs) + " packs of part " +
                                      inQuotes(line.part) + ": give 1 to 1000000");
    }
    if (line.pack_size < 1 || line.pack_size > most) {
        throw FieldError("pack_size", who + " has packs of " + std::to_string(line.pack_size) + " of part " +
                                          inQuotes(line.part) + ": give 1 to 1000000");
    }
    if (line.pack_price < 0) {
        throw FieldError("pack_price", who + " has a price below 0 for part " + inQuotes(line.part));
    }
}

struct OrderHead {
    std::int64_t id;
    bool closed;
};

OrderHead orderHead(ShopConnection& connection, std::string_view code) {
    Query query(connection, "SELECT order_id, closed FROM purchase_orders WHERE code = ?1", code);
    if (!query.next()) throw FieldError("order", "there is no order " + inQuotes(code) + " in the shop file");
    return {query.integer(0), query.integer(1) != 0};
}

} // namespace

void insertOrder(ShopConnection& connection, const PurchaseOrder& order) {
    checkCode(order.code, "order code", "order");
    checkFreeText(order.note, "note", "note");
    if (Query(connection, "SELECT 1 FROM purchase_orders WHERE code = ?1", order.code).next()) {
        throw FieldError("order", "order " + inQuotes(order.code) + " is there already");
    }
    const std::int64_t supplier = supplierId(connection, order.supplier);
    if (Query(connection, "SELECT 1 FROM suppliers WHERE supplier_id = ?1 AND retired = 1", supplier)
            .next()) {
        throw FieldError("supplier", "supplier " + inQuotes(order.supplier) +
                                         " is retired: bring it back before something is ordered from it");
    }
    Query(connection,
          "INSERT INTO purchase_orders (code, supplier_id, ordered_utc, closed, note) VALUES (?1, ?2, ?3, 0, "
          "?4)",
          order.code, supplier, order.ordered, order.note)
        .run();
}

void insertOrderLine(ShopConnection& connection, std::string_view order, const OrderLine& line,
                     std::optional<std::int64_t> number) {
    checkLine(order, line);
    const OrderHead head = orderHead(connection, order);
    if (number && (*number < 1 ||
                   Query(connection, "SELECT 1 FROM order_lines WHERE order_line_id = ?1", *number).next())) {
        throw FieldError("order_line",
                         "order line " + std::to_string(*number) + " is taken: give a free number from 1");
    }
    const std::int64_t part = partId(connection, line.part);
    if (Query(connection, "SELECT 1 FROM parts WHERE part_id = ?1 AND retired = 1", part).next()) {
        throw FieldError("part", "part " + inQuotes(line.part) +
                                     " is retired: bring it back before it is ordered again");
    }
    Query(connection,
          "INSERT INTO order_lines (order_line_id, order_id, part_id, packs, pack_size, pack_price) "
          "VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
          number, head.id, part, line.packs, line.pack_size, line.pack_price)
        .run();
}

void closeOrder(ShopConnection& connection, std::string_view order) {
    const OrderHead head = orderHead(connection, order);
    if (head.closed) throw FieldError("order", "order " + inQuotes(order) + " is closed already");
    Query(connection, "UPDATE purchase_orders SET closed = 1 WHERE order_id = ?1", head.id).run();
}

} // namespace shimledger::inventory
