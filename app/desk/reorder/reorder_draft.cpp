// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/reorder/reorder_draft.h"

#include "app/desk/path_text.h"
#include "app/services/place_order.h"
#include "planner/units/input_error.h"

#include <QStringList>

namespace shimledger::desk {

namespace {

constexpr QLatin1Char between_cells('\t'), between_lines('\n');

} // namespace

QString planDraft(const services::ReorderPlan& plan) {
    QStringList lines;
    for (const services::SupplierOrder& order : plan.orders) {
        for (const services::ReorderLine& line : order.lines) {
            lines << QStringList{textOf(order.supplier.name), textOf(line.part),
                                 QString::number(line.pack_size), QString::number(line.packs)}
                         .join(between_cells);
        }
    }
    return lines.join(between_lines);
}

bool applyPlanDraft(inventory::ShopFile& shop, services::ReorderPlan& plan, const QString& draft) {
    bool taken = false;
    for (const QString& line : draft.split(between_lines, Qt::SkipEmptyParts)) {
        const QStringList cells = line.split(between_cells);
        if (cells.size() != 4) continue;
        try {
            services::setPacks(shop, plan, cells[0].toStdString(), cells[1].toStdString(),
                               cells[3].toLongLong(), cells[2].toLongLong());
            taken = true;
        } catch (const InputError&) { // no such offer any more
            continue;
        }
    }
    return taken;
}

} // namespace shimledger::desk
