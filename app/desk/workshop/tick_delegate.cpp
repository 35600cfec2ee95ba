// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/tick_delegate.h"

#include "app/desk/state_mark.h"

#include <QAbstractItemModel>
#include <QAbstractItemView>
#include <QMouseEvent>
#include <QPainter>

namespace shimledger::desk {

namespace {

bool ticked(const QModelIndex& index) {
    return index.data(Qt::CheckStateRole).toInt() == Qt::Checked;
}

} // namespace

void TickDelegate::initStyleOption(QStyleOptionViewItem* option, const QModelIndex& index) const {
    QStyledItemDelegate::initStyleOption(option, index);
    option->state.setFlag(QStyle::State_HasFocus, false); // drawn below, to be seen on any ground
    if (!option->features.testFlag(QStyleOptionViewItem::HasCheckIndicator)) {
        return;
    }
    option->features.setFlag(QStyleOptionViewItem::HasCheckIndicator, false);
    option->features.setFlag(QStyleOptionViewItem::HasDecoration);
    option->icon = stateMarkIcon(ticked(index) ? StateMark::good : StateMark::unknown, option->palette);
    const int side = option->fontMetrics.ascent();
    option->decorationSize = QSize(side, side);
    option->decorationAlignment = Qt::AlignCenter;
}

void TickDelegate::paint(QPainter* painter, const QStyleOptionViewItem& option,
                         const QModelIndex& index) const {
    QStyledItemDelegate::paint(painter, option, index);
    const auto* view = qobject_cast<const QAbstractItemView*>(option.widget);
    if (view == nullptr || view->currentIndex() != index) {
        return;
    }
    painter->save();
    painter->setPen(QPen(option.palette.color(QPalette::Link), view->hasFocus() ? 3 : 1));
    painter->drawRect(option.rect.adjusted(2, 2, -2, -2));
    painter->restore();
}

bool TickDelegate::editorEvent(QEvent* event, QAbstractItemModel* model, const QStyleOptionViewItem& option,
                               const QModelIndex& index) {
    const bool released = event->type() == QEvent::MouseButtonRelease &&
                          static_cast<QMouseEvent*>(event)->button() == Qt::LeftButton;
    if (released && index.flags().testFlag(Qt::ItemIsUserCheckable)) {
        return model->setData(index, ticked(index) ? Qt::Unchecked : Qt::Checked, Qt::CheckStateRole);
    }
    return QStyledItemDelegate::editorEvent(event, model, option, index);
}

} // namespace shimledger::desk
