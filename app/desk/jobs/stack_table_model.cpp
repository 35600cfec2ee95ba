#include "app/desk/jobs/stack_table_model.h"

#include "app/desk/path_text.h"
#include "app/desk/state_mark.h"
#include "planner/stack/stack_text.h"

#include <QGuiApplication>

namespace shimledger::desk {

namespace {

bool numeric(int column) {
    return column == StackTableModel::needed ||
           (column >= StackTableModel::on_hand && column <= StackTableModel::available);
}

QString stateText(const StackLine& line) {
    if (line.substituted) {
        return StackTableModel::tr("substituted");
    }
    if (line.missing > 0) {
        return StackTableModel::tr("short of %1").arg(line.missing);
    }
    if (line.reserved_here > 0) {
        return StackTableModel::tr("reserved %1").arg(line.reserved_here);
    }
    return StackTableModel::tr("enough");
}

StateMark markOf(const StackLine& line) {
    if (line.substituted) {
        return StateMark::held;
    }
    if (line.missing > 0) {
        return StateMark::missing;
    }
    return line.reserved_here > 0 ? StateMark::held : StateMark::good;
}

} // namespace

void StackTableModel::setLines(std::vector<StackLine> lines) {
    if (lines == m_lines) {
        return;
    }
    beginResetModel();
    m_lines = std::move(lines);
    endResetModel();
}

int StackTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_lines.size());
}

int StackTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : column_count;
}

QString StackTableModel::text(int row, int column) const {
    const StackLine& line = m_lines[static_cast<std::size_t>(row)];
    switch (column) {
    case position:
        return QString::number(row + 1);
    case disc:
        return textOf(planner::rowText(line.row));
    case needed:
        return QString::number(line.needed);
    case bins:
        return line.bins.isEmpty() ? tr("nowhere") : line.bins;
    case on_hand:
        return QString::number(line.on_hand);
    case reserved:
        return QString::number(line.reserved);
    case available:
        return QString::number(line.available);
    case state:
        return stateText(line);
    default:
        return {};
    }
}

QVariant StackTableModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) {
        return {};
    }
    switch (role) {
    case Qt::DisplayRole:
        return text(index.row(), index.column());
    case Qt::DecorationRole:
        if (index.column() != state) {
            return {};
        }
        return stateMarkIcon(markOf(m_lines[static_cast<std::size_t>(index.row())]),
                             QGuiApplication::palette());
    case Qt::TextAlignmentRole:
        return QVariant::fromValue(
            Qt::Alignment(Qt::AlignVCenter | (numeric(index.column()) ? Qt::AlignRight : Qt::AlignLeft)));
    default:
        return {};
    }
}

QVariant StackTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation != Qt::Horizontal) {
        return {};
    }
    if (role == Qt::ToolTipRole && section == position) {
        return tr("Row, counted from the piston face");
    }
    if (role == Qt::ToolTipRole && section == needed) {
        return tr("Discs for all legs together");
    }
    if (role == Qt::TextAlignmentRole && numeric(section)) {
        return QVariant::fromValue(Qt::Alignment(Qt::AlignRight | Qt::AlignVCenter));
    }
    if (role != Qt::DisplayRole) {
        return {};
    }
    switch (section) {
    case position:
        return tr("#");
    case disc:
        return tr("Discs, a leg");
    case needed:
        return tr("Need");
    case bins:
        return tr("Bins");
    case on_hand:
        return tr("On hand");
    case reserved:
        return tr("Reserved");
    case available:
        return tr("Available");
    case state:
        return tr("State");
    default:
        return {};
    }
}

} // namespace shimledger::desk
