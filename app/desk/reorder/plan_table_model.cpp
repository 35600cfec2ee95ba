#include "app/desk/reorder/plan_table_model.h"

#include "app/desk/path_text.h"
#include "inventory/money.h"

#include <utility>

namespace shimledger::desk {

namespace {

constexpr int most_packs = 100'000;

bool numeric(int column) {
    return column >= PlanTableModel::packs && column <= PlanTableModel::total;
}

} // namespace

void PlanTableModel::setPlan(services::ReorderPlan plan) {
    take(std::move(plan), false);
}

void PlanTableModel::setEditedPlan(services::ReorderPlan plan) {
    take(std::move(plan), true);
}

void PlanTableModel::take(services::ReorderPlan plan, bool edited) {
    beginResetModel();
    m_plan = std::move(plan);
    m_edited = edited;
    place();
    endResetModel();
    emit totalsChanged();
}

void PlanTableModel::place() {
    m_rows.clear();
    for (std::size_t order = 0; order < m_plan.orders.size(); ++order) {
        for (std::size_t line = 0; line < m_plan.orders[order].lines.size(); ++line)
            m_rows.push_back({order, line});
    }
}

const services::SupplierOrder& PlanTableModel::orderOf(int row) const {
    return m_plan.orders.at(m_rows.at(static_cast<std::size_t>(row)).order);
}

const services::ReorderLine& PlanTableModel::line(int row) const {
    return orderOf(row).lines.at(m_rows.at(static_cast<std::size_t>(row)).line);
}

int PlanTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

int PlanTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : column_count;
}

Qt::ItemFlags PlanTableModel::flags(const QModelIndex& index) const {
    const Qt::ItemFlags flags = QAbstractTableModel::flags(index);
    return index.isValid() && index.column() == packs ? flags | Qt::ItemIsEditable : flags;
}

QString PlanTableModel::text(const Place& place, int column) const {
    const services::SupplierOrder& order = m_plan.orders[place.order];
    const services::ReorderLine& line = order.lines[place.line];
    switch (column) {
    case supplier:
        return textOf(order.supplier.name);
    case part:
        return textOf(line.part);
    case what:
        return textOf(line.what);
    case why:
        return textOf(line.reason);
    case packs:
        return QString::number(line.packs);
    case pack_of:
        return QString::number(line.pack_size);
    case pieces:
        return QString::number(line.pieces());
    case price:
        return textOf(inventory::moneyText(line.price()));
    case total:
        return textOf(inventory::moneyText(line.total()) + " " + order.supplier.currency);
    case priced_on:
        return line.priced_on ? textOf(line.priced_on->text()) : QString();
    case shelf_life:
        return line.shelf_life_months ? tr("%1 months").arg(*line.shelf_life_months) : QString();
    default:
        return {};
    }
}

QVariant PlanTableModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) {
        return {};
    }
    const Place& place = m_rows[static_cast<std::size_t>(index.row())];
    const services::ReorderLine& line = m_plan.orders[place.order].lines[place.line];
    switch (role) {
    case Qt::DisplayRole:
        return text(place, index.column());
    case Qt::EditRole:
        return index.column() == packs ? QVariant(static_cast<int>(line.packs))
                                       : QVariant(text(place, index.column()));
    case Qt::TextAlignmentRole:
        return QVariant::fromValue(
            Qt::Alignment(Qt::AlignVCenter | (numeric(index.column()) ? Qt::AlignRight : Qt::AlignLeft)));
    case Qt::ToolTipRole:
        return textOf(line.demand.empty() ? line.reason : line.reason + "; demand " + line.demand);
    default:
        return {};
    }
}

bool PlanTableModel::setData(const QModelIndex& index, const QVariant& value, int role) {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid) || index.column() != packs ||
        role != Qt::EditRole) {
        return false;
    }
    bool whole = false;
    const int count = value.toInt(&whole);
    if (!whole || count < 0 || count > most_packs) {
        return false;
    }
    const Place& place = m_rows[static_cast<std::size_t>(index.row())];
    services::ReorderLine& line = m_plan.orders[place.order].lines[place.line];
    if (line.packs == count) {
        return true;
    }
    line.packs = count;
    m_edited = true;
    emit dataChanged(this->index(index.row(), packs), this->index(index.row(), total));
    emit totalsChanged();
    return true;
}

QVariant PlanTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation == Qt::Horizontal && role == Qt::TextAlignmentRole && numeric(section)) {
        return QVariant::fromValue(Qt::Alignment(Qt::AlignRight | Qt::AlignVCenter));
    }
    if (orientation != Qt::Horizontal || role != Qt::DisplayRole) {
        return {};
    }
    const QString names[column_count] = {
        tr("Supplier"), tr("Part"),      tr("What"),      tr("Why"),
        tr("Packs"),    tr("Pack of"),   tr("In all"),    tr("Price of a pack"),
        tr("Total"),    tr("Priced on"), tr("Shelf life")};
    return section >= 0 && section < column_count ? QVariant(names[section]) : QVariant();
}

} // namespace shimledger::desk
