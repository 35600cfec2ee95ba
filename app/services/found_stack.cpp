// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/found_stack.h"

#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/strip_record.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

namespace shimledger::services {

namespace {

std::vector<inventory::StackRow> nominalRows(inventory::ShopFile& shop,
                                             const std::vector<inventory::StackRow>& found,
                                             const inventory::StripSheet* sheet) {
    std::vector<inventory::StackRow> rows = found;
    if (sheet == nullptr || sheet->rows.size() != rows.size()) return rows;
    const inventory::PartCatalogue catalogue(shop);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        if (sheet->rows[i].part.empty()) continue;
        const inventory::Part part = catalogue.get(sheet->rows[i].part);
        if (part.od) rows[i].od = *part.od;
        if (part.thickness) rows[i].thickness = *part.thickness;
    }
    return rows;
}

} // namespace

FoundStack foundStack(inventory::ShopFile& shop, std::string_view job) {
    FoundStack found;
    shop.consistently([&] {
        const inventory::JobBook book(shop);
        for (const inventory::JobStack& of_leg : book.stacks(job)) {
            if (of_leg.role != inventory::StackRole::asFound) continue;
            const auto sheet = inventory::StripRecords(shop).find(job, of_leg.leg);
            std::vector<inventory::StackRow> rows = nominalRows(shop, of_leg.rows, sheet ? &*sheet : nullptr);
            if (found.leg == 0) {
                found.leg = of_leg.leg;
                found.rows = std::move(rows);
            } else {
                found.legs_differ = found.legs_differ || rows != found.rows;
            }
        }
    });
    if (found.leg == 0) {
        throw InputError(
            fmt::format("no leg of job '{}' has been stripped: write its strip sheet down first", job));
    }
    return found;
}

} // namespace shimledger::services
