// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/paid_prices.h"

#include "inventory/storage/query.h"

namespace shimledger::inventory {

std::map<std::string, std::vector<PaidPrice>> paidPrices(const ShopFile& shop) {
    std::map<std::string, std::vector<PaidPrice>> prices;
    Query query(shop.connection(),
                "SELECT p.code, m.utc, u.utc, o.code, s.name, s.currency, l.pack_size, l.pack_price "
                "FROM order_lines l JOIN purchase_orders o USING (order_id) JOIN parts p USING (part_id) "
                "JOIN suppliers s ON s.supplier_id = o.supplier_id "
                "JOIN movements m ON m.order_line_id = l.order_line_id AND m.kind = 'receipt' "
                "LEFT JOIN movements u ON u.reverses_id = m.movement_id ORDER BY m.movement_id");
    while (query.next()) {
        PaidPrice price;
        price.received = query.utc(1);
        if (!query.isNull(2)) price.undone = query.utc(2);
        price.order = query.text(3);
        price.supplier = query.text(4);
        price.currency = query.text(5);
        price.pack_size = query.integer(6);
        price.pack_price = query.integer(7);
        prices[query.text(0)].push_back(std::move(price));
    }
    return prices;
}

} // namespace shimledger::inventory
