// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/reorder.h"
#include "inventory/shop_file.h"
#endif

#include <QString>

namespace shimledger::desk {

/// The packs of a plan as they were typed over, to be kept until they are booked: one line for each of the
/// plan's lines, of supplier, part, size of pack and packs.
[[nodiscard]] QString planDraft(const services::ReorderPlan& plan);

/// Puts such packs into a fresh plan. What the shop does not take any more is left out; false where nothing
/// was taken over.
[[nodiscard]] bool applyPlanDraft(inventory::ShopFile& shop, services::ReorderPlan& plan,
                                  const QString& draft);

} // namespace shimledger::desk
