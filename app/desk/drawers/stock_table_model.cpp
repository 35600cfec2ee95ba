// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/drawers/stock_table_model.h"

#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "inventory/part_kinds.h"

#include <QGuiApplication>

namespace shimledger::desk {

namespace {

QString measuredText(const inventory::MeasuredThickness& measured) {
    if (measured.readings == 1) {
        return StockTableModel::tr("%1 (1 reading)").arg(textOf(measured.mean.text(3)));
    }
    return StockTableModel::tr("%1 (%2 to %3, %4 readings)")
        .arg(textOf(measured.mean.text(3)), textOf(measured.least.text(3)), textOf(measured.greatest.text(3)))
        .arg(measured.readings);
}

bool numeric(int column) {
    return column == StockTableModel::on_hand || column == StockTableModel::reserved ||
           column == StockTableModel::available;
}

} // namespace

void StockTableModel::setLines(std::vector<StockLine> lines) {
    beginResetModel();
    m_lines = std::move(lines);
    takeLevels();
    endResetModel();
}

void StockTableModel::setLevels(StockLevels levels) {
    m_levels = std::move(levels);
    takeLevels();
    if (!m_lines.empty()) {
        emit dataChanged(index(0, state), index(rowCount() - 1, state));
    }
}

void StockTableModel::takeLevels() {
    for (StockLine& line : m_lines) {
        const auto level = m_levels.find(line.lot.part);
        line.level = level == m_levels.end() ? nullptr : level->second;
    }
    m_keys.assign(m_lines.size(), FindKey());
    ++m_edition;
}

int StockTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_lines.size());
}

int StockTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : column_count;
}

QString StockTableModel::text(const StockLine& line, int column) {
    switch (column) {
    case bin:
        return textOf(line.lot.bin);
    case kind:
        return textOf(inventory::partKindRule(line.lot.kind).noun);
    case size:
        return line.whatText();
    case part:
        return textOf(line.lot.part);
    case condition:
        return line.out() ? QString() : textOf(inventory::conditionName(line.lot.condition));
    case measured:
        return line.lot.measured ? measuredText(*line.lot.measured) : QString();
    case on_hand:
        return QString::number(line.lot.on_hand);
    case reserved:
        return QString::number(line.lot.reserved);
    case available:
        return QString::number(line.lot.available());
    case state:
        return line.stateText();
    default:
        return {};
    }
}

QVariant StockTableModel::sortValue(const StockLine& line, int column) {
    const auto micrometres = [](const std::optional<Length>& length) {
        return static_cast<qint64>(length ? length->micrometres() : 0);
    };
    switch (column) {
    // Parts that are nowhere come after all drawers.
    case bin:
        return line.out() ? Q_INT64_C(1) << 40 : static_cast<qint64>(line.lot.walking_order);
    case size: // od, then thickness, within what a qint64 holds
        return micrometres(line.lot.od) * 100'000'000 + micrometres(line.lot.id) * 100 +
               micrometres(line.lot.thickness) / 10;
    case measured:
        return line.lot.measured ? static_cast<qint64>(line.lot.measured->mean.micrometres()) : 0;
    case on_hand:
        return static_cast<qint64>(line.lot.on_hand);
    case reserved:
        return static_cast<qint64>(line.lot.reserved);
    case available:
        return static_cast<qint64>(line.lot.available());
    default:
        return {};
    }
}

QVariant StockTableModel::data(const QModelIndex& index, int role) const {
    return answered(this, QVariant(), [&] { return cell(index, role); });
}

QVariant StockTableModel::cell(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) {
        return {};
    }
    const StockLine& line = m_lines[static_cast<std::size_t>(index.row())];
    switch (role) {
    case Qt::DisplayRole:
        return text(line, index.column());
    case Qt::DecorationRole:
        return index.column() == state ? QVariant(stateMarkIcon(line.mark(), QGuiApplication::palette()))
                                       : QVariant();
    case Qt::TextAlignmentRole:
        return QVariant::fromValue(
            Qt::Alignment(Qt::AlignVCenter | (numeric(index.column()) ? Qt::AlignRight : Qt::AlignLeft)));
    case Qt::ToolTipRole:
        return line.explanation();
    case sort_role: {
        const QVariant value = sortValue(line, index.column());
        return value.isValid() ? value : QVariant(text(line, index.column()));
    }
    default:
        return {};
    }
}

/// Typing asks for it of every line with every key, so it is made once.
const FindKey& StockTableModel::findKey(int row) const {
    FindKey& key = m_keys[static_cast<std::size_t>(row)];
    if (key.isEmpty()) {
        const StockLine& line = m_lines[static_cast<std::size_t>(row)];
        QStringList words{textOf(line.lot.description)};
        for (const int column : {bin, kind, size, part, condition}) {
            words << text(line, column);
        }
        words << line.stateWords();
        if (line.lot.measured) {
            words << textOf(line.lot.measured->mean.text(3));
        }
        key = FindKey(words.join(QLatin1Char(' ')));
    }
    return key;
}

QVariant StockTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation == Qt::Horizontal && role == Qt::TextAlignmentRole && numeric(section)) {
        return QVariant::fromValue(Qt::Alignment(Qt::AlignRight | Qt::AlignVCenter));
    }
    if (orientation != Qt::Horizontal || role != Qt::DisplayRole) {
        return {};
    }
    switch (section) {
    case bin:
        return tr("Bin");
    case kind:
        return tr("Kind");
    case size:
        return tr("Size (mm)");
    case part:
        return tr("Part");
    case condition:
        return tr("Condition");
    case measured:
        return tr("Measured (mm)");
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
