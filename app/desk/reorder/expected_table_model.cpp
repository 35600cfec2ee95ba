// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/reorder/expected_table_model.h"

#include "app/desk/guard.h"
#include "app/desk/path_text.h"

#include <QStringList>

#include <algorithm>
#include <utility>

namespace shimledger::desk {

void ExpectedTableModel::setLines(const std::vector<services::ExpectedLine>& lines) {
    beginResetModel();
    const std::vector<Row> before = std::exchange(m_rows, {});
    for (const services::ExpectedLine& line : lines) {
        if (line.expected() <= 0) continue;
        Row row{line};
        const auto typed = std::find_if(before.begin(), before.end(), [&](const Row& old) {
            return old.line.order == line.order && old.line.order_line == line.order_line;
        });
        if (typed != before.end()) {
            row.came = std::min(typed->came, line.expected());
            row.bin_typed = typed->bin_typed;
            if (typed->bin_typed) row.line.bin = typed->line.bin;
        }
        m_rows.push_back(std::move(row));
    }
    endResetModel();
}

void ExpectedTableModel::forget(const std::string& order_code) {
    for (Row& row : m_rows) {
        if (row.line.order != order_code) continue;
        row.came = 0;
        row.bin_typed = false;
    }
    if (!m_rows.empty()) emit dataChanged(index(0, 0), index(rowCount() - 1, column_count - 1));
}

std::vector<services::ReceivedLine> ExpectedTableModel::received(const std::string& order_code) const {
    std::vector<services::ReceivedLine> lines;
    for (const Row& row : m_rows) {
        if (row.came > 0 && row.line.order == order_code) {
            lines.push_back({row.line.order_line, row.came, row.line.bin});
        }
    }
    return lines;
}

void ExpectedTableModel::allCame(const std::string& order_code) {
    for (int row = 0; row < rowCount(); ++row) {
        const Row& here = m_rows[static_cast<std::size_t>(row)];
        if (here.came == 0 && here.line.order == order_code) {
            setData(index(row, came), static_cast<qlonglong>(here.line.expected()), Qt::EditRole);
        }
    }
}

bool ExpectedTableModel::edited() const {
    return std::any_of(m_rows.begin(), m_rows.end(), [](const Row& row) { return row.came > 0; });
}

QString ExpectedTableModel::draft() const {
    QStringList lines;
    for (const Row& row : m_rows) {
        if (row.came == 0 && !row.bin_typed) continue;
        lines << QStringLiteral("%1\t%2\t%3")
                     .arg(row.line.order_line)
                     .arg(row.came)
                     .arg(row.bin_typed ? textOf(row.line.bin) : QString());
    }
    return lines.join(QLatin1Char('\n'));
}

void ExpectedTableModel::applyDraft(const QString& draft) {
    for (const QString& line : draft.split(QLatin1Char('\n'), Qt::SkipEmptyParts)) {
        const QStringList cells = line.split(QLatin1Char('\t'));
        for (int row = 0; cells.size() == 3 && row < rowCount(); ++row) {
            if (m_rows[static_cast<std::size_t>(row)].line.order_line != cells[0].toLongLong()) continue;
            setData(index(row, came), cells[1], Qt::EditRole);
            if (!cells[2].isEmpty()) setData(index(row, bin), cells[2], Qt::EditRole);
        }
    }
}

int ExpectedTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

int ExpectedTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : column_count;
}

Qt::ItemFlags ExpectedTableModel::flags(const QModelIndex& index) const {
    const Qt::ItemFlags flags = QAbstractTableModel::flags(index);
    return index.isValid() && (index.column() == came || index.column() == bin) ? flags | Qt::ItemIsEditable
                                                                                : flags;
}

QVariant ExpectedTableModel::data(const QModelIndex& index, int role) const {
    return answered(this, QVariant(), [&] { return cell(index, role); });
}

QVariant ExpectedTableModel::cell(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) {
        return {};
    }
    const Row& row = m_rows[static_cast<std::size_t>(index.row())];
    const bool number = index.column() == expected || index.column() == came;
    if (role == Qt::TextAlignmentRole) {
        return QVariant::fromValue(
            Qt::Alignment(Qt::AlignVCenter | (number ? Qt::AlignRight : Qt::AlignLeft)));
    }
    if (role != Qt::DisplayRole && role != Qt::EditRole) {
        return {};
    }
    switch (index.column()) {
    case order:
        return textOf(row.line.order);
    case supplier:
        return textOf(row.line.supplier);
    case part:
        return textOf(row.line.part);
    case what:
        return textOf(row.line.what);
    case expected:
        return static_cast<qint64>(row.line.expected());
    case came:
        return static_cast<int>(row.came);
    case bin:
        return textOf(row.line.bin);
    default:
        return {};
    }
}

bool ExpectedTableModel::setData(const QModelIndex& index, const QVariant& value, int role) {
    return answered(this, false, [&] { return take(index, value, role); });
}

bool ExpectedTableModel::take(const QModelIndex& index, const QVariant& value, int role) {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid) || role != Qt::EditRole) {
        return false;
    }
    Row& row = m_rows[static_cast<std::size_t>(index.row())];
    if (index.column() == bin) {
        row.line.bin = value.toString().trimmed().toStdString();
        row.bin_typed = true;
    } else if (index.column() == came) {
        bool whole = false;
        const int count = value.toInt(&whole);
        if (!whole || count < 0 || count > row.line.expected()) {
            return false;
        }
        row.came = count;
    } else {
        return false;
    }
    emit dataChanged(index, index);
    return true;
}

QVariant ExpectedTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation != Qt::Horizontal || role != Qt::DisplayRole) {
        return {};
    }
    const QString names[column_count] = {tr("Part"),  tr("Expected"), tr("Came"), tr("Into bin"),
                                         tr("Order"), tr("Supplier"), tr("Code")};
    return section >= 0 && section < column_count ? QVariant(names[section]) : QVariant();
}

} // namespace shimledger::desk
