// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/build_state.h"
#endif

#include "app/desk/workshop/stack_checklist.h"

#include <QList>
#include <QString>

namespace shimledger::desk {

/// What the build sheet says of a job's stacks.

[[nodiscard]] QString discsText(const inventory::StackRow& row); ///< "3 x 24.0 x 0.10"
[[nodiscard]] QList<StackChecklist::Row> checklistRows(const services::BuildState& state);
/// "Height: build 1.89 mm, target 1.70 mm: 0.19 mm more."
[[nodiscard]] QString heightsText(const services::BuildState& state);
/// What is still in the drawers, and which discs are neither pulled nor reserved; empty: nothing.
[[nodiscard]] QString openText(const services::BuildState& state);
/// A line for each, marked as missing, still in a drawer (a circle) or pulled (a tick).
[[nodiscard]] QString consumablesText(const services::BuildState& state);
/// "rows 1, 3 to 5" of 0-based rows.
[[nodiscard]] QString rowsText(const QList<int>& rows);

} // namespace shimledger::desk
