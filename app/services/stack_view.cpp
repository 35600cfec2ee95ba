// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/stack_view.h"

#include "app/services/job_needs.h"
#include "inventory/job_book.h"
#include "inventory/stock_ledger.h"

#include <algorithm>

namespace shimledger::services {

std::string StackRowView::binText() const {
    std::string text;
    std::string last;
    for (const auto& lot : lots) {
        if (lot.bin == last) continue;
        text += (text.empty() ? "" : ", ") + lot.bin;
        last = lot.bin;
    }
    return text;
}

std::vector<StackRowView> stackView(inventory::ShopFile& shop, std::string_view code,
                                    inventory::StackRole role, int leg) {
    std::vector<StackRowView> views;
    shop.consistently([&] {
        const inventory::JobBook book(shop);
        const inventory::Job job = book.get(code);
        const auto stack = book.stack(code, role, leg);
        if (!stack) return;
        views =
            rowsAgainstStock(shop, code, stack->rows, role == inventory::StackRole::asFound ? 1 : job.legs);
    });
    return views;
}

std::vector<StackRowView> rowsAgainstStock(inventory::ShopFile& shop, std::string_view code,
                                           const std::vector<inventory::StackRow>& rows, int copies) {
    std::vector<StackRowView> views;
    shop.consistently([&] {
        const inventory::Job job = inventory::JobBook(shop).get(code);
        const auto reservations = inventory::StockLedger(shop).reservationsOf(code);
        for (const inventory::StackRow& row : rows) {
            StackRowView view;
            view.row = row;
            view.parts = shimsOfSize(shop, row.od, job.valve.shim_id, row.thickness);
            view.needed = row.count * copies;
            for (const auto& other : rows) {
                if (other.od == row.od && other.thickness == row.thickness) {
                    view.needed_of_size += other.count * copies;
                }
            }
            const auto isOfSize = [&](const std::string& part) {
                return std::find(view.parts.begin(), view.parts.end(), part) != view.parts.end();
            };
            view.lots = inventory::stockSnapshotOf(shop, view.parts).lots;
            for (const auto& lot : view.lots) {
                view.on_hand += lot.on_hand;
                view.reserved += lot.reserved;
            }
            for (const auto& reservation : reservations) {
                if (isOfSize(reservation.part)) view.reserved_here += reservation.quantity;
            }
            view.missing =
                std::max<std::int64_t>(0, view.needed_of_size - view.available() - view.reserved_here);
            views.push_back(std::move(view));
        }
    });
    return views;
}

} // namespace shimledger::services
