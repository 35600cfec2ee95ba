#include "app/desk/workshop/tick_delegate.h"

#include "app/desk/state_mark.h"

#include <QAbstractItemModel>
#include <QMouseEvent>

namespace shimledger::desk {

namespace {

constexpr int mark_side = 16;

bool ticked(const QModelIndex& index) {
    return index.data(Qt::CheckStateRole).toInt() == Qt::Checked;
}

} // namespace

void TickDelegate::initStyleOption(QStyleOptionViewItem* option, const QModelIndex& index) const {
    QStyledItemDelegate::initStyleOption(option, index);
    if (!option->features.testFlag(QStyleOptionViewItem::HasCheckIndicator)) {
        return;
    }
    option->features.setFlag(QStyleOptionViewItem::HasCheckIndicator, false);
    option->features.setFlag(QStyleOptionViewItem::HasDecoration);
    option->icon = stateMarkIcon(ticked(index) ? StateMark::good : StateMark::unknown, option->palette);
    option->decorationSize = QSize(mark_side, mark_side);
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
