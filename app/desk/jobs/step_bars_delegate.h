// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QStyledItemDelegate>

namespace shimledger::desk {

/// Draws what a step does at low, middle and full lift as three bars about the middle of the cell: to the
/// left softer, to the right stiffer. Takes them from StepTableModel::bars_role.
class StepBarsDelegate : public QStyledItemDelegate {
    Q_OBJECT

public:
    using QStyledItemDelegate::QStyledItemDelegate;

    void paint(QPainter* painter, const QStyleOptionViewItem& option,
               const QModelIndex& index) const override;
};

} // namespace shimledger::desk
