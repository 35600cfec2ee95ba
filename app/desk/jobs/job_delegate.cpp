// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/job_delegate.h"

#include "app/desk/desk_colours.h"
#include "app/desk/jobs/job_table_model.h"

#include <QApplication>
#include <QPainter>

namespace shimledger::desk {

namespace {

constexpr int margin = 6;
constexpr int mark_side = 16;

QString textAt(const QModelIndex& index, int column) {
    return index.siblingAtColumn(column).data(Qt::DisplayRole).toString();
}

} // namespace

void JobDelegate::paint(QPainter* painter, const QStyleOptionViewItem& option,
                        const QModelIndex& index) const {
    QStyleOptionViewItem frame(option);
    initStyleOption(&frame, index);
    frame.text.clear();
    frame.icon = {};
    const QStyle* style = frame.widget != nullptr ? frame.widget->style() : QApplication::style();
    style->drawControl(QStyle::CE_ItemViewItem, &frame, painter, frame.widget);

    painter->save();
    const bool selected = option.state.testFlag(QStyle::State_Selected);
    const QColor ink = option.palette.color(selected ? QPalette::HighlightedText : QPalette::Text);
    const QColor quiet = selected ? ink : DeskColours::of(option.palette).quiet;
    // A further valve of a component stands in beneath its job.
    const int inset = index.data(JobTableModel::further_valve_role).toBool() ? 3 * margin : margin;
    const QRect box = option.rect.adjusted(inset, 3, -margin, -3);
    const int line = box.height() / 3;
    const QRect upper(box.left(), box.top(), box.width(), line);
    const QRect lower(box.left(), box.top() + line, box.width(), line);
    const QRect last(box.left(), box.top() + 2 * line, box.width(), line);

    QFont bold = option.font;
    bold.setBold(true);
    painter->setFont(bold);
    painter->setPen(ink);
    const QString code = textAt(index, JobTableModel::code);
    painter->drawText(upper, Qt::AlignVCenter | Qt::AlignLeft, code);
    const int code_width = QFontMetrics(bold).horizontalAdvance(code) + 10;
    painter->setFont(option.font);
    const QRect rest = upper.adjusted(code_width, 0, 0, 0);
    painter->drawText(
        rest, Qt::AlignVCenter | Qt::AlignRight,
        option.fontMetrics.elidedText(textAt(index, JobTableModel::component), Qt::ElideRight, rest.width()));

    // Marks keep their own ground, so that a selection does not swallow them.
    const QRect mark(lower.left(), lower.center().y() - mark_side / 2, mark_side, mark_side);
    if (selected) {
        painter->fillRect(mark.adjusted(-1, -1, 1, 1), option.palette.color(QPalette::Base));
    }
    index.siblingAtColumn(JobTableModel::situation)
        .data(Qt::DecorationRole)
        .value<QIcon>()
        .paint(painter, mark);
    painter->setPen(ink);
    const QString due = textAt(index, JobTableModel::due);
    const int days_late = index.data(JobTableModel::late_role).toInt();
    QString due_text = due.isEmpty() ? QString() : tr("due %1").arg(due);
    if (days_late > 0) {
        due_text = tr("LATE since %1").arg(due);
    }
    const QString situation = textAt(index, JobTableModel::situation);
    constexpr int gaps = 20;
    if (option.fontMetrics.horizontalAdvance(situation + due_text) + mark_side + gaps > lower.width()) {
        const QString month_and_day = due.mid(QStringLiteral("2026-").size());
        due_text = days_late > 0 ? tr("LATE %1").arg(month_and_day) : month_and_day;
    }
    const int due_width = option.fontMetrics.horizontalAdvance(due_text) + 8;
    const QRect words = lower.adjusted(mark_side + 6, 0, -due_width, 0);
    painter->drawText(words, Qt::AlignVCenter | Qt::AlignLeft,
                      option.fontMetrics.elidedText(situation, Qt::ElideRight, words.width()));
    const QColor bad = selected ? ink : DeskColours::of(option.palette).bad;
    painter->setPen(days_late > 0 ? bad : quiet);
    painter->drawText(lower, Qt::AlignVCenter | Qt::AlignRight, due_text);

    painter->setPen(quiet);
    const QString priority = textAt(index, JobTableModel::priority);
    const QString priority_text = priority.isEmpty() ? QString() : tr("priority %1").arg(priority);
    painter->drawText(last, Qt::AlignVCenter | Qt::AlignRight, priority_text);
    const int customer_width = last.width() - option.fontMetrics.horizontalAdvance(priority_text) - 8;
    painter->drawText(last, Qt::AlignVCenter | Qt::AlignLeft,
                      option.fontMetrics.elidedText(textAt(index, JobTableModel::customer), Qt::ElideRight,
                                                    customer_width));
    painter->restore();
}

QSize JobDelegate::sizeHint(const QStyleOptionViewItem& option, const QModelIndex& /*index*/) const {
    return {240, 3 * option.fontMetrics.height() + 12};
}

} // namespace shimledger::desk
