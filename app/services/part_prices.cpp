// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/part_prices.h"

#include "app/services/usable_offers.h"
#include "inventory/purchase_orders.h"

namespace shimledger::services {

std::map<std::string, PiecePrice> piecePrices(inventory::ShopFile& shop) {
    const inventory::SupplierList list(shop);
    const auto everybody = list.list(inventory::Retired::included);
    std::map<std::string, PiecePrice> prices;
    // What nobody offers any more is worth what it was offered for.
    for (const auto which : {inventory::Retired::included, inventory::Retired::leftOut}) {
        const OfferBook book = offerBook(everybody, list.offers(which));
        for (const auto& [part, of_part] : book.offers) {
            const UsableOffers usable = usableOffers(part, of_part, book.suppliers);
            if (usable.offers.empty()) continue;
            const auto& usual = usualOffer(usable.offers, book.suppliers);
            prices[part] = {static_cast<double>(usual.pack_price) / static_cast<double>(usual.pack_size),
                            usable.currency};
        }
    }
    const auto suppliers = offerBook(everybody, {}).suppliers;
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
