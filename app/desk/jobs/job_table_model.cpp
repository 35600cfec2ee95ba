// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/job_table_model.h"

#include "app/desk/guard.h"
#include "app/desk/path_text.h"

#include <QGuiApplication>

#include <algorithm>

namespace shimledger::desk {

void JobTableModel::setLines(std::vector<JobLine> lines) {
    if (lines == m_lines) {
        return;
    }
    beginResetModel();
    m_lines = std::move(lines);
    m_rows = listed();
    endResetModel();
}

bool JobTableModel::setFilter(const services::JobFilter& filter, inventory::CalendarDate today) {
    m_filter = filter;
    m_today = today;
    std::vector<std::size_t> rows = listed();
    if (rows == m_rows) {
        return false;
    }
    beginResetModel();
    m_rows = std::move(rows);
    endResetModel();
    return true;
}

std::vector<std::size_t> JobTableModel::listed() const {
    std::vector<std::size_t> rows;
    for (std::size_t i = 0; i < m_lines.size(); ++i) {
        if (services::isListed(m_lines[i].job, m_filter, m_today)) rows.push_back(i);
    }
    return rows;
}

const JobLine* JobTableModel::lineOf(const std::string& job) const {
    const auto found =
        std::ranges::find_if(m_lines, [&](const JobLine& line) { return line.job.code == job; });
    return found == m_lines.end() ? nullptr : &*found;
}

int JobTableModel::rowOf(const std::string& job) const {
    const auto found =
        std::ranges::find_if(m_rows, [&](std::size_t place) { return m_lines[place].job.code == job; });
    return found == m_rows.end() ? -1 : static_cast<int>(found - m_rows.begin());
}

int JobTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

int JobTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : column_count;
}

QString JobTableModel::text(const JobLine& line, int column) {
    switch (column) {
    case situation:
        return line.situation_text;
    case code:
        return textOf(line.job.code);
    case component:
        return line.job.valve_of.empty()
                   ? tr("%1, %2").arg(textOf(line.job.model), textOf(line.job.valve.name))
                   : QString(); // its code names the valve, and the job above it the model
    case due:
        return line.job.due ? textOf(line.job.due->text()) : QString();
    case customer:
        return textOf(line.job.customer);
    case priority:
        return line.job.priority > 0 ? QString::number(line.job.priority) : QString();
    default:
        return {};
    }
}

QString JobTableModel::accessibleText(const JobLine& line) {
    QStringList words{text(line, code), text(line, component), text(line, situation)};
    if (line.job.due) words << tr("due %1").arg(text(line, due));
    if (line.days_late > 0) words << textOf(services::lateText(line.days_late));
    if (line.job.priority > 0) words << tr("priority %1").arg(text(line, priority));
    if (!line.job.customer.empty()) words << tr("for %1").arg(text(line, customer));
    return words.join(QStringLiteral(", "));
}

QVariant JobTableModel::data(const QModelIndex& index, int role) const {
    return answered(this, QVariant(), [&] { return cell(index, role); });
}

QVariant JobTableModel::cell(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) {
        return {};
    }
    const JobLine& line = this->line(index.row());
    switch (role) {
    case late_role:
        return line.days_late;
    case further_valve_role:
        return !line.job.valve_of.empty();
    case Qt::DisplayRole:
        return text(line, index.column());
    case Qt::DecorationRole:
        if (index.column() != situation) {
            return {};
        }
        return stateMarkIcon(line.mark, QGuiApplication::palette());
    case Qt::ToolTipRole:
        return textOf(line.job.note);
    case Qt::AccessibleTextRole:
        return accessibleText(line);
    default:
        return {};
    }
}

QVariant JobTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation != Qt::Horizontal || role != Qt::DisplayRole) {
        return {};
    }
    switch (section) {
    case situation:
        return tr("Situation");
    case code:
        return tr("Job");
    case component:
        return tr("Component");
    case due:
        return tr("Due");
    case customer:
        return tr("Customer");
    case priority:
        return tr("Priority");
    default:
        return {};
    }
}

} // namespace shimledger::desk
