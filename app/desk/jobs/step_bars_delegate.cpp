// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/step_bars_delegate.h"

#include "app/desk/desk_colours.h"
#include "app/desk/jobs/step_table_model.h"

#include <QPainter>

#include <algorithm>
#include <cmath>

namespace shimledger::desk {

void StepBarsDelegate::paint(QPainter* painter, const QStyleOptionViewItem& option,
                             const QModelIndex& index) const {
    QStyledItemDelegate::paint(painter, option, index);
    const QVariantList bars = index.data(StepTableModel::bars_role).toList();
    if (bars.isEmpty()) return;
    constexpr int edge = 4, between = 2, least_pixels = 1;
    const QRect room = option.rect.adjusted(edge, 3, -edge, -3);
    const bool picked = option.state.testFlag(QStyle::State_Selected);
    const QColor text = option.palette.color(picked ? QPalette::HighlightedText : QPalette::Text);
    const QColor bar = picked ? text : DeskColours::of(option.palette).substitute;
    const int middle = room.center().x(), half = room.width() / 2;
    const int height = std::max(2, (room.height() - between * (static_cast<int>(bars.size()) - 1)) /
                                       static_cast<int>(bars.size()));
    painter->save();
    painter->setPen(text);
    painter->drawLine(middle, room.top(), middle, room.bottom());
    int top = room.top();
    for (const QVariant& part : bars) {
        const double value = part.toDouble();
        const int length = std::max(least_pixels, static_cast<int>(std::lround(std::abs(value) * half)));
        painter->fillRect(value < 0 ? middle - length : middle, top, length, height, bar);
        top += height + between;
    }
    painter->restore();
}

} // namespace shimledger::desk
