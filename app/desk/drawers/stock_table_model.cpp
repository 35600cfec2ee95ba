#include "app/desk/drawers/stock_table_model.h"

#include "app/desk/path_text.h"
#include "inventory/bin.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"

#include <QGuiApplication>
#include <QRegularExpression>

#include <algorithm>
#include <map>

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

StateMark markOf(const StockLine& line) {
    if (line.out() || line.low()) {
        return StateMark::missing;
    }
    return line.lot.available() == 0 ? StateMark::held : StateMark::none;
}

std::vector<StockLine> readStockLines(inventory::ShopFile& shop) {
    std::vector<StockLine> lines;
    shop.consistently([&] {
        std::map<std::string, inventory::Part> parts;
        for (inventory::Part& part : inventory::PartCatalogue(shop).list()) {
            parts.emplace(part.code, part);
        }
        std::map<std::string, QString> cabinets;
        for (const inventory::Bin& bin : inventory::BinList(shop).list()) {
            cabinets.emplace(bin.code, textOf(bin.cabinet));
        }
        std::map<std::string, inventory::PartBalance> balances;
        for (inventory::PartBalance& balance : inventory::partBalances(shop)) {
            balances.emplace(balance.part, balance);
        }
        for (inventory::StockLot& lot : inventory::stockSnapshot(shop).lots) {
            const inventory::Part& part = parts.at(lot.part);
            const std::int64_t available = balances.at(lot.part).available();
            lines.push_back({lot, textOf(inventory::partSizeText(part)), part.reorder_point, available,
                             cabinets[lot.bin]});
        }
        for (const auto& [code, part] : parts) {
            if (balances.at(code).on_hand > 0) {
                continue;
            }
            inventory::StockLot none;
            none.part = code;
            none.kind = part.kind;
            none.description = part.description;
            none.od = part.od;
            none.id = part.id;
            none.thickness = part.thickness;
            lines.push_back({none, textOf(inventory::partSizeText(part)), part.reorder_point, 0, {}});
        }
    });
    return lines;
}

void StockTableModel::setLines(std::vector<StockLine> lines) {
    beginResetModel();
    m_lines = std::move(lines);
    m_search.assign(m_lines.size(), QString());
    endResetModel();
}

int StockTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_lines.size());
}

int StockTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : column_count;
}

QString StockTableModel::stateText(const StockLine& line) const {
    if (line.out()) {
        return tr("none left");
    }
    if (line.lot.available() == 0) {
        return tr("all reserved");
    }
    return line.low() ? tr("low") : QString();
}

QString StockTableModel::text(const StockLine& line, int column) const {
    switch (column) {
    case bin:
        return textOf(line.lot.bin);
    case kind:
        return textOf(inventory::partKindRule(line.lot.kind).noun);
    case size:
        return line.size.isEmpty() ? textOf(line.lot.description) : line.size;
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
        return stateText(line);
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
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) {
        return {};
    }
    const StockLine& line = m_lines[static_cast<std::size_t>(index.row())];
    switch (role) {
    case Qt::DisplayRole:
        return text(line, index.column());
    case Qt::DecorationRole:
        return index.column() == state ? QVariant(stateMarkIcon(markOf(line), QGuiApplication::palette()))
                                       : QVariant();
    case Qt::TextAlignmentRole:
        return QVariant::fromValue(
            Qt::Alignment(Qt::AlignVCenter | (numeric(index.column()) ? Qt::AlignRight : Qt::AlignLeft)));
    case Qt::ToolTipRole:
        return textOf(line.lot.description);
    case sort_role: {
        const QVariant value = sortValue(line, index.column());
        return value.isValid() ? value : QVariant(text(line, index.column()));
    }
    case search_role:
        return searchText(static_cast<std::size_t>(index.row()));
    default:
        return {};
    }
}

/// Typing asks for it of every line with every key, so it is made once.
const QString& StockTableModel::searchText(std::size_t row) const {
    QString& all = m_search[row];
    if (all.isNull()) {
        const StockLine& line = m_lines[row];
        all = textOf(line.lot.description);
        for (int column = 0; column < column_count; ++column) {
            all += QLatin1Char(' ') + text(line, column);
        }
        all = all.toLower();
    }
    return all;
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

StockFilterModel::StockFilterModel(QObject* parent) : QSortFilterProxyModel(parent) {
    setSortRole(StockTableModel::sort_role);
    setSortCaseSensitivity(Qt::CaseInsensitive);
    setSortLocaleAware(false);
}

void StockFilterModel::setWords(const QString& text) {
    static const QRegularExpression blanks(QStringLiteral("\\s+"));
    m_words = text.toLower().split(blanks, Qt::SkipEmptyParts);
    // A decimal comma is what some keyboards give; sizes are shown with a point.
    for (QString& word : m_words) {
        if (!word.isEmpty() && word.at(0).isDigit()) {
            word.replace(QLatin1Char(','), QLatin1Char('.'));
        }
    }
    invalidateFilter();
}

void StockFilterModel::setShown(Shown shown) {
    m_shown = shown;
    invalidateFilter();
}

void StockFilterModel::setCabinet(const QString& cabinet) {
    m_cabinet = cabinet;
    invalidateFilter();
}

bool StockFilterModel::filterAcceptsRow(int row, const QModelIndex& parent) const {
    if (const auto* stock = qobject_cast<const StockTableModel*>(sourceModel())) {
        const StockLine& line = stock->line(row);
        const bool shown = m_shown == Shown::everything || (m_shown == Shown::low && line.low()) ||
                           (m_shown == Shown::out && line.out()) ||
                           (m_shown == Shown::reserved && line.lot.reserved > 0);
        if (!shown || (!m_cabinet.isEmpty() && line.cabinet != m_cabinet)) {
            return false;
        }
    }
    const QModelIndex index = sourceModel()->index(row, 0, parent);
    const QString text = sourceModel()->data(index, StockTableModel::search_role).toString();
    return std::all_of(m_words.begin(), m_words.end(),
                       [&text](const QString& word) { return text.contains(word); });
}

} // namespace shimledger::desk
