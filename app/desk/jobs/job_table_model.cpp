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
    endResetModel();
}

int JobTableModel::rowOf(const std::string& job) const {
    const auto found =
        std::ranges::find_if(m_lines, [&](const JobLine& line) { return line.job.code == job; });
    return found == m_lines.end() ? -1 : static_cast<int>(found - m_lines.begin());
}

int JobTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_lines.size());
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
        return tr("%1, %2").arg(textOf(line.job.model), textOf(line.job.valve.name));
    case due:
        return line.job.due ? textOf(line.job.due->text()) : QString();
    case customer:
        return textOf(line.job.customer);
    default:
        return {};
    }
}

QVariant JobTableModel::data(const QModelIndex& index, int role) const {
    return answered(this, QVariant(), [&] { return cell(index, role); });
}

QVariant JobTableModel::cell(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) {
        return {};
    }
    const JobLine& line = m_lines[static_cast<std::size_t>(index.row())];
    switch (role) {
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
        return tr("%1, %2, %3, due %4")
            .arg(text(line, code), text(line, component), text(line, situation), text(line, due));
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
    default:
        return {};
    }
}

} // namespace shimledger::desk
