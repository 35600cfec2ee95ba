#include "app/services/part_prices.h"

#include "app/services/usable_offers.h"
#include "inventory/purchase_orders.h"

namespace shimledger::services {

std::map<std::string, PiecePrice> piecePrices(inventory::ShopFile& shop) {
    const inventory::SupplierList list(shop);
    const auto [suppliers, offers] = offerBook(list.list(), list.offers());
    std::map<std::string, PiecePrice> prices;
    for (const auto& [part, of_part] : offers) {
        const UsableOffers usable = usableOffers(part, of_part, suppliers);
        if (usable.offers.empty()) continue;
        const auto& usual = usualOffer(usable.offers, suppliers);
        prices[part] = {static_cast<double>(usual.pack_price) / static_cast<double>(usual.pack_size),
                        usable.currency};
    }
    for (const auto& order : inventory::PurchaseOrders(shop).list()) { // the later order wins
        const auto supplier = suppliers.find(order.supplier);
        for (const auto& line : order.lines) {
            if (line.received == 0 || line.pack_price == 0 || supplier == suppliers.end()) continue;
            prices[line.part] = {static_cast<double>(line.pack_price) / static_cast<double>(line.pack_size),
                                 supplier->second.currency};
        }
    }
    return prices;
}

} // namespace shimledger::services
