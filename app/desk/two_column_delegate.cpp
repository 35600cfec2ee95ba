// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/two_column_delegate.h"

#include "app/desk/desk_colours.h"

#include <QApplication>
#include <QPainter>

namespace shimledger::desk {

namespace {

constexpr int margin = 6;
constexpr double share_of_what = 0.52;

} // namespace

void TwoColumnDelegate::paint(QPainter* painter, const QStyleOptionViewItem& option,
                              const QModelIndex& index) const {
    QStyleOptionViewItem item = option;
    initStyleOption(&item, index);
    item.text.clear(); // ground and frame are the style's, the words ours
    const QStyle* style = item.widget != nullptr ? item.widget->style() : QApplication::style();
    style->drawControl(QStyle::CE_ItemViewItem, &item, painter, item.widget);
    const bool picked = item.state.testFlag(QStyle::State_Selected);
    const QColor ink = item.palette.color(picked ? QPalette::HighlightedText : QPalette::Text);
    const QRect inner = item.rect.adjusted(margin, 0, -margin, 0);
    const int what_width = static_cast<int>(inner.width() * share_of_what) - margin;
    const auto write = [&](const QRect& place, const QString& text) {
        painter->drawText(place, Qt::AlignLeft | Qt::AlignVCenter,
                          item.fontMetrics.elidedText(text, Qt::ElideRight, place.width()));
    };
    painter->save();
    painter->setFont(item.font);
    painter->setPen(ink);
    write(QRect(inner.left(), inner.top(), what_width, inner.height()), index.data(what_role).toString());
    painter->setPen(picked ? ink : DeskColours::of(item.palette).quiet);
    write(inner.adjusted(what_width + margin, 0, 0, 0), index.data(where_role).toString());
    painter->restore();
}

QSize TwoColumnDelegate::sizeHint(const QStyleOptionViewItem& option, const QModelIndex& /*index*/) const {
    return {option.fontMetrics.averageCharWidth() * 20, option.fontMetrics.height() + 6};
}

} // namespace shimledger::desk
