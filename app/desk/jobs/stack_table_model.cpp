// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/stack_table_model.h"

#include "app/desk/guard.h"
#include "app/desk/length_text.h"
#include "app/desk/path_text.h"
#include "app/desk/state_mark.h"
#include "planner/units/input_error.h"

#include <QGuiApplication>

namespace shimledger::desk {

namespace {

constexpr int most_discs_a_row = 500; // what a StackSpec takes

bool typedInto(int column) {
    return column >= StackTableModel::count && column <= StackTableModel::thickness;
}

bool numeric(int column) {
    return typedInto(column) || column == StackTableModel::needed || column == StackTableModel::on_hand ||
           column == StackTableModel::available;
}

QString stateText(const StackLine& line) {
    if (line.ended) {
        return line.substituted ? StackTableModel::tr("substituted") : QString();
    }
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
    if (line.ended) {
        return StateMark::done;
    }
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
    // The same number of rows is no reset, so that an open editor and the place in the table survive.
    if (lines.size() == m_lines.size() && !lines.empty()) {
        m_lines = std::move(lines);
        emit dataChanged(index(0, 0), index(rowCount() - 1, column_count - 1));
        return;
    }
    beginResetModel();
    m_lines = std::move(lines);
    endResetModel();
}

void StackTableModel::setSizeUnit(SizeUnit unit) {
    if (unit == m_unit) {
        return;
    }
    m_unit = unit;
    emit headerDataChanged(Qt::Horizontal, od, thickness);
    if (!m_lines.empty()) emit dataChanged(index(0, od), index(rowCount() - 1, thickness));
}

int StackTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_lines.size());
}

int StackTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : column_count;
}

QString StackTableModel::text(int row, int column) const {
    const StackLine& line = m_lines[static_cast<std::size_t>(row)];
    if (line.ended && (column == bins || column == on_hand || column == available)) {
        return {};
    }
    switch (column) {
    case position:
        return QString::number(row + 1);
    case count:
        return QString::number(line.row.count);
    case od:
        return lengthText(line.row.od, m_unit) +
               (line.row.ring_id ? tr(", ring %1").arg(lengthText(*line.row.ring_id, m_unit)) : QString());
    case thickness:
        return lengthText(line.row.thickness, m_unit, 2);
    case needed:
        return QString::number(line.needed);
    case bins:
        return line.bins.isEmpty() ? tr("nowhere") : line.bins;
    case on_hand:
        return QString::number(line.on_hand);
    case available:
        return QString::number(line.available);
    case state:
        return stateText(line);
    default:
        return {};
    }
}

QVariant StackTableModel::data(const QModelIndex& index, int role) const {
    return answered(this, QVariant(), [&] { return cell(index, role); });
}

QVariant StackTableModel::cell(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) {
        return {};
    }
    const StackLine& line = m_lines[static_cast<std::size_t>(index.row())];
    switch (role) {
    case Qt::DisplayRole:
        return text(index.row(), index.column());
    case Qt::EditRole:
        return index.column() == od ? lengthText(line.row.od, m_unit) : text(index.row(), index.column());
    case Qt::ToolTipRole:
        if (line.ended) {
            return {};
        }
        return tr("%1 on hand, %2 reserved, %3 available; %4 needed for all legs")
            .arg(line.on_hand)
            .arg(line.reserved)
            .arg(line.available)
            .arg(line.needed);
    case Qt::AccessibleTextRole:
        return tr("row %1, %2: %3")
            .arg(index.row() + 1)
            .arg(headerData(index.column(), Qt::Horizontal, Qt::DisplayRole).toString(),
                 text(index.row(), index.column()));
    case Qt::DecorationRole:
        if (index.column() != state || line.ended) {
            return {};
        }
        return stateMarkIcon(markOf(line), QGuiApplication::palette());
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
    if (role == Qt::ToolTipRole && section == count) {
        return tr("Discs of this row in each leg");
    }
    if (role == Qt::ToolTipRole && (section == od || section == thickness)) {
        return tr("In %1").arg(typingHelp(m_unit));
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
    case count:
        return tr("Discs");
    case od:
        return m_unit == SizeUnit::inches ? tr("OD, in") : tr("OD");
    case thickness:
        return m_unit == SizeUnit::inches ? tr("Thick, in") : tr("Thick");
    case needed:
        return tr("Need");
    case bins:
        return tr("Bins");
    case on_hand:
        return tr("On hand");
    case available:
        return tr("Available");
    case state:
        return tr("State");
    default:
        return {};
    }
}

Qt::ItemFlags StackTableModel::flags(const QModelIndex& index) const {
    Qt::ItemFlags flags = QAbstractTableModel::flags(index);
    return m_editable && index.isValid() && typedInto(index.column()) ? flags | Qt::ItemIsEditable : flags;
}

planner::DiscRow StackTableModel::typedRow(const QModelIndex& index, const QString& typed) const {
    planner::DiscRow row = m_lines.at(static_cast<std::size_t>(index.row())).row;
    if (index.column() == count) {
        bool good = false;
        row.count = typed.trimmed().toInt(&good);
        if (!good || row.count < 1 || row.count > most_discs_a_row) {
            throw InputError(tr("Row %1: \"%2\" is no number of discs; give 1 to %3")
                                 .arg(index.row() + 1)
                                 .arg(typed.trimmed())
                                 .arg(most_discs_a_row)
                                 .toStdString());
        }
    } else if (index.column() == od) {
        row.od = readLength(typed, m_unit);
    } else {
        row.thickness = readLength(typed, m_unit);
    }
    return row;
}

bool StackTableModel::setData(const QModelIndex& index, const QVariant& value, int role) {
    return answered(this, false, [&] { return take(index, value, role); });
}

bool StackTableModel::take(const QModelIndex& index, const QVariant& value, int role) {
    if (role != Qt::EditRole || !flags(index).testFlag(Qt::ItemIsEditable)) {
        return false;
    }
    try {
        emit rowTyped(index.row(), typedRow(index, value.toString()));
    } catch (const InputError& problem) {
        emit typingRefused(QString::fromUtf8(problem.what()));
        return false;
    }
    return true;
}

} // namespace shimledger::desk
