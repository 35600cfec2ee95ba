// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/reorder/plan_table_model.h"

#include "app/desk/counted.h"
#include "app/desk/desk_colours.h"
#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/services/reorder_words.h"
#include "inventory/money.h"

#include <QFont>
#include <QGuiApplication>
#include <QPalette>

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace shimledger::desk {

namespace {

constexpr int most_packs = 100'000;

QFont boldFont() {
    QFont bold = QGuiApplication::font();
    bold.setBold(true);
    return bold;
}

bool numeric(int column) {
    return column >= PlanTableModel::packs && column <= PlanTableModel::total;
}

} // namespace

/// The packs of one line, typed over.
class PlanTableModel::PacksStep : public QUndoCommand {
public:
    PacksStep(PlanTableModel& model, const Place& place, int before, int after)
        : QUndoCommand(tr("packs typed over")), m_model(model), m_place(place), m_before(before),
          m_after(after), m_edited_before(model.m_edited) {}
    void undo() override { m_model.setPacks(m_place, m_before, m_edited_before); }
    void redo() override { m_model.setPacks(m_place, m_after, true); }

private:
    PlanTableModel& m_model;
    Place m_place;
    int m_before, m_after;
    bool m_edited_before;
};

/// The whole plan, where lines come or go.
class PlanTableModel::PlanStep : public QUndoCommand {
public:
    PlanStep(PlanTableModel& model, services::ReorderPlan after, const QString& what)
        : QUndoCommand(what), m_model(model), m_before(model.m_plan), m_after(std::move(after)),
          m_edited_before(model.m_edited) {}
    void undo() override { m_model.show(m_before, m_edited_before); }
    void redo() override { m_model.show(m_after, true); }

private:
    PlanTableModel& m_model;
    services::ReorderPlan m_before, m_after;
    bool m_edited_before;
};

void PlanTableModel::setPlan(services::ReorderPlan plan) {
    m_planned = plan.orders;
    begin(std::move(plan), false);
}

void PlanTableModel::setEditedPlan(services::ReorderPlan plan) {
    begin(std::move(plan), true);
}

void PlanTableModel::changePlan(services::ReorderPlan plan, const QString& step) {
    m_history.push(new PlanStep(*this, std::move(plan), step));
}

void PlanTableModel::begin(services::ReorderPlan plan, bool edited) {
    m_history.clear();
    show(std::move(plan), edited);
}

void PlanTableModel::show(services::ReorderPlan plan, bool edited) {
    beginResetModel();
    m_plan = std::move(plan);
    m_edited = edited;
    place();
    endResetModel();
    emit totalsChanged();
}

void PlanTableModel::place() {
    const auto stops_a_job = [](const services::ReorderLine& line) { return line.short_for_jobs > 0; };
    m_rows.clear();
    for (const std::size_t order : services::ordersByUrgency(m_plan)) {
        m_rows.push_back({order, std::nullopt});
        for (const bool urgent : {true, false}) {
            for (std::size_t line = 0; line < m_plan.orders[order].lines.size(); ++line) {
                if (stops_a_job(m_plan.orders[order].lines[line]) == urgent) m_rows.push_back({order, line});
            }
        }
    }
}

const services::SupplierOrder& PlanTableModel::orderOf(int row) const {
    return m_plan.orders.at(m_rows.at(static_cast<std::size_t>(row)).order);
}

int PlanTableModel::headingOf(const QString& supplier) const {
    for (int row = 0; row < rowCount(); ++row) {
        if (isHeading(row) && textOf(orderOf(row).supplier.name) == supplier) return row;
    }
    return -1;
}

std::optional<std::int64_t> PlanTableModel::plannedPacks(const Place& place) const {
    const services::SupplierOrder& order = m_plan.orders[place.order];
    const services::ReorderLine& line = order.lines[*place.line];
    std::int64_t planned = 0; // of what was added by hand
    for (const services::SupplierOrder& before : m_planned) {
        if (before.supplier.name != order.supplier.name) continue;
        for (const services::ReorderLine& other : before.lines) {
            if (other.part == line.part && other.pack_size == line.pack_size) planned = other.packs;
        }
    }
    return planned == line.packs ? std::nullopt : std::optional(planned);
}

std::optional<std::int64_t> PlanTableModel::plannedPacks(int row) const {
    const auto& place = m_rows.at(static_cast<std::size_t>(row));
    if (!place.line) throw std::logic_error("a heading of the plan has no packs");
    return plannedPacks(place);
}

std::map<std::string, inventory::Hundredths> PlanTableModel::dearerThanPlanned() const {
    std::map<std::string, inventory::Hundredths> dearer;
    for (const services::SupplierOrder& order : m_plan.orders) {
        inventory::Hundredths before = 0;
        for (const services::SupplierOrder& planned : m_planned) {
            if (planned.supplier.name == order.supplier.name) before = planned.toPay();
        }
        dearer[order.supplier.currency] += order.toPay() - before;
    }
    return dearer;
}

bool PlanTableModel::isHeading(int row) const {
    return !m_rows.at(static_cast<std::size_t>(row)).line;
}

int PlanTableModel::firstLine() const {
    for (int row = 0; row < rowCount(); ++row) {
        if (!isHeading(row)) return row;
    }
    return -1;
}

bool PlanTableModel::anyShelfLife() const {
    return std::any_of(m_plan.orders.begin(), m_plan.orders.end(), [](const services::SupplierOrder& order) {
        return std::any_of(order.lines.begin(), order.lines.end(), [](const services::ReorderLine& line) {
            return line.shelf_life_months.has_value();
        });
    });
}

const services::ReorderLine& PlanTableModel::line(int row) const {
    const auto& place = m_rows.at(static_cast<std::size_t>(row));
    if (!place.line) throw std::logic_error("a heading of the plan is no line");
    return m_plan.orders[place.order].lines.at(*place.line);
}

int PlanTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

int PlanTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : column_count;
}

Qt::ItemFlags PlanTableModel::flags(const QModelIndex& index) const {
    const Qt::ItemFlags flags = QAbstractTableModel::flags(index);
    return index.isValid() && index.column() == packs && !isHeading(index.row()) ? flags | Qt::ItemIsEditable
                                                                                 : flags;
}

/// "Invented Discs: 14 lines, 606.06 EUR, freight 9.50, 615.56 in all".
QString PlanTableModel::headingText(const services::SupplierOrder& order) {
    QString words = tr("%1: %2, %3 %4")
                        .arg(textOf(order.supplier.name),
                             counted(static_cast<qint64>(order.linesToBuy()), tr("1 line"), tr("%1 lines")),
                             textOf(inventory::moneyText(order.total())), textOf(order.supplier.currency));
    if (order.supplier.freight) {
        words += tr(", freight %1, %2 in all")
                     .arg(textOf(inventory::moneyText(*order.supplier.freight)),
                          textOf(inventory::moneyText(order.total() + *order.supplier.freight)));
    }
    if (order.belowMinimum()) {
        words +=
            tr(", below the minimum of %1").arg(textOf(inventory::moneyText(*order.supplier.minimum_order)));
    }
    return words;
}

QString PlanTableModel::tipOf(const Place& place) const {
    const services::ReorderLine& line = m_plan.orders[place.order].lines[*place.line];
    return textOf(line.reason + (line.demand.empty() ? "" : "; demand " + line.demand) +
                  (line.promised_share > 0 ? "; " + services::promiseText(line) : ""));
}

QVariant PlanTableModel::headingData(const Place& place, int column, int role) const {
    if (role == Qt::FontRole) return boldFont();
    const bool words = role == Qt::DisplayRole || role == Qt::ToolTipRole || role == Qt::AccessibleTextRole;
    return words && column == 0 ? QVariant(headingText(m_plan.orders[place.order])) : QVariant();
}

QString PlanTableModel::text(const Place& place, int column) const {
    const services::SupplierOrder& order = m_plan.orders[place.order];
    const services::ReorderLine& line = order.lines[*place.line];
    switch (column) {
    case part:
        return textOf(line.part);
    case what:
        return textOf(line.what);
    case why: {
        const QString reason = textOf(line.plain.empty() ? line.reason : line.plain);
        const auto planned = plannedPacks(place);
        return planned ? tr("changed, %1 planned; %2").arg(*planned).arg(reason) : reason;
    }
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
    return answered(this, QVariant(), [&] { return cell(index, role); });
}

QVariant PlanTableModel::cell(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) {
        return {};
    }
    const Place& place = m_rows[static_cast<std::size_t>(index.row())];
    if (!place.line) return headingData(place, index.column(), role);
    const services::ReorderLine& line = m_plan.orders[place.order].lines[*place.line];
    switch (role) {
    case Qt::DisplayRole:
        return text(place, index.column());
    case Qt::EditRole:
        return index.column() == packs ? QVariant(static_cast<int>(line.packs))
                                       : QVariant(text(place, index.column()));
    case Qt::TextAlignmentRole:
        return QVariant::fromValue(
            Qt::Alignment(Qt::AlignVCenter | (numeric(index.column()) ? Qt::AlignRight : Qt::AlignLeft)));
    case Qt::BackgroundRole: // as a field, since it can be typed over
        if (index.column() == packs) {
            const QPalette palette = QGuiApplication::palette();
            return blended(palette.color(QPalette::Link), palette.color(QPalette::Base), 0.14);
        }
        return {};
    case Qt::FontRole: // told by a word in the reason, too
        return (index.column() == packs || index.column() == why) && plannedPacks(place)
                   ? QVariant(boldFont())
                   : QVariant();
    case Qt::ToolTipRole:
        return tipOf(place);
    default:
        return {};
    }
}

bool PlanTableModel::setData(const QModelIndex& index, const QVariant& value, int role) {
    return answered(this, false, [&] { return take(index, value, role); });
}

bool PlanTableModel::take(const QModelIndex& index, const QVariant& value, int role) {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid) || index.column() != packs ||
        role != Qt::EditRole || isHeading(index.row())) {
        return false;
    }
    bool whole = false;
    const int count = value.toInt(&whole);
    if (!whole || count < 0 || count > most_packs) {
        return false;
    }
    const Place place = m_rows[static_cast<std::size_t>(index.row())];
    const auto before = static_cast<int>(m_plan.orders[place.order].lines[*place.line].packs);
    if (before != count) m_history.push(new PacksStep(*this, place, before, count));
    return true;
}

void PlanTableModel::setPacks(const Place& place, int count, bool edited) {
    m_plan.orders[place.order].lines[*place.line].packs = count;
    m_edited = edited;
    for (int row = 0; row < rowCount(); ++row) { // the line, and the totals of its supplier
        const Place& shown = m_rows[static_cast<std::size_t>(row)];
        if (shown.order != place.order || (shown.line && shown.line != place.line)) continue;
        emit dataChanged(index(row, 0), index(row, column_count - 1));
    }
    emit totalsChanged();
}

QVariant PlanTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation == Qt::Horizontal && role == Qt::TextAlignmentRole && numeric(section)) {
        return QVariant::fromValue(Qt::Alignment(Qt::AlignRight | Qt::AlignVCenter));
    }
    if (orientation != Qt::Horizontal || role != Qt::DisplayRole) {
        return {};
    }
    const QString names[column_count] = {tr("Part"),   tr("Why"),        tr("Packs"), tr("Pack of"),
                                         tr("Pieces"), tr("Pack price"), tr("Total"), tr("Priced on"),
                                         tr("Code"),   tr("Shelf life")};
    return section >= 0 && section < column_count ? QVariant(names[section]) : QVariant();
}

} // namespace shimledger::desk
