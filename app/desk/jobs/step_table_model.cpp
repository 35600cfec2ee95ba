// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/step_table_model.h"

#include "app/desk/guard.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/path_text.h"

#include <QLocale>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

namespace shimledger::desk {

namespace {

using planner::SingleStep;

bool isChange(int column) {
    return column >= StepTableModel::low && column <= StepTableModel::full;
}

/// At the lift of a column; none where the step leaves no curve.
std::optional<double> changeAt(const SingleStep& step, int column) {
    const auto lift = static_cast<std::size_t>(column - StepTableModel::low);
    if (!step.solved || lift >= step.changes.size()) return std::nullopt;
    return step.changes[lift];
}

} // namespace

void StepTableModel::setSteps(planner::StepTable table) {
    beginResetModel();
    m_table = std::move(table);
    m_largest = 0;
    for (const SingleStep& step : m_table.steps) {
        for (const double change : step.changes) m_largest = std::max(m_largest, std::abs(change));
    }
    putInOrder();
    endResetModel();
}

int StepTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_table.steps.size());
}

int StepTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : column_count;
}

void StepTableModel::sort(int column, Qt::SortOrder order) {
    beginResetModel(); // nothing that is picked outlives it
    m_sorted_by = column;
    m_sort_order = order;
    putInOrder();
    endResetModel();
}

void StepTableModel::putInOrder() {
    m_order.resize(m_table.steps.size());
    std::iota(m_order.begin(), m_order.end(), std::size_t{0});
    if (m_sorted_by < 0) return;
    const auto key = [this](std::size_t at) {
        const SingleStep& step = m_table.steps[at];
        if (m_sorted_by == drawers) return step.available >= step.needed ? 0.0 : 1.0;
        const int column = isChange(m_sorted_by) ? m_sorted_by : static_cast<int>(full);
        return changeAt(step, column).value_or(std::numeric_limits<double>::infinity());
    };
    std::stable_sort(m_order.begin(), m_order.end(), [&](std::size_t a, std::size_t b) {
        if (m_sort_order == Qt::DescendingOrder) std::swap(a, b);
        if (m_sorted_by == what) return m_table.steps[a].words < m_table.steps[b].words;
        return key(a) < key(b);
    });
}

QString StepTableModel::drawersText(const SingleStep& step) const {
    if (!m_table.drawers_known) return {};
    if (step.needed == 0) return tr("-");
    if (step.available >= step.needed) return tr("yes");
    return tr("%1 of %2").arg(step.available).arg(step.needed);
}

QString StepTableModel::text(const SingleStep& step, int column) const {
    switch (column) {
    case what:
        return textOf(step.words);
    case drawers:
        return drawersText(step);
    case picture:
        return {};
    default:
        const auto change = changeAt(step, column);
        return change ? signedPerCentText(*change) : tr("no curve");
    }
}

QVariant StepTableModel::data(const QModelIndex& index, int role) const {
    return answered(this, QVariant(), [&] { return cell(index, role); });
}

QVariant StepTableModel::cell(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const SingleStep& step = stepAt(index.row());
    switch (role) {
    case Qt::DisplayRole:
        return text(step, index.column());
    case Qt::TextAlignmentRole:
        return QVariant::fromValue(
            Qt::Alignment(Qt::AlignVCenter | (isChange(index.column()) ? Qt::AlignRight : Qt::AlignLeft)));
    case Qt::ToolTipRole:
        return tr("%1; Return makes it the edited target. + is stiffer.").arg(textOf(step.words));
    case Qt::AccessibleTextRole:
        if (index.column() == picture) return tr("The three changes as bars");
        return QStringLiteral("%1: %2").arg(
            headerData(index.column(), Qt::Horizontal, Qt::DisplayRole).toString(),
            text(step, index.column()));
    case bars_role: {
        QVariantList bars;
        for (const double change : step.changes) bars << (m_largest > 0 ? change / m_largest : 0.0);
        return bars;
    }
    default:
        return {};
    }
}

QVariant StepTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation == Qt::Vertical) return {};
    if (role == Qt::TextAlignmentRole && isChange(section))
        return QVariant::fromValue(Qt::Alignment(Qt::AlignRight | Qt::AlignVCenter));
    if (role != Qt::DisplayRole) return {};
    switch (section) {
    case what:
        return tr("Step");
    case drawers:
        return tr("Drawers");
    case picture:
        return tr("- | +");
    default: {
        const auto lift = static_cast<std::size_t>(section - low);
        if (lift >= m_table.lifts_mm.size()) return QString();
        return tr("%1 mm").arg(QLocale::c().toString(m_table.lifts_mm[lift], 'f', 2));
    }
    }
}

} // namespace shimledger::desk
