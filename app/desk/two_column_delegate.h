// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QStyledItemDelegate>

namespace shimledger::desk {

/// An item of a list in two columns: what it is, and more quietly where. Read out they are one line, the
/// item's text.
class TwoColumnDelegate : public QStyledItemDelegate {
    Q_OBJECT

public:
    static constexpr int what_role = Qt::UserRole;
    static constexpr int where_role = Qt::UserRole + 1;

    using QStyledItemDelegate::QStyledItemDelegate;

    void paint(QPainter* painter, const QStyleOptionViewItem& option,
               const QModelIndex& index) const override;
    [[nodiscard]] QSize sizeHint(const QStyleOptionViewItem& option, const QModelIndex& index) const override;
};

} // namespace shimledger::desk
