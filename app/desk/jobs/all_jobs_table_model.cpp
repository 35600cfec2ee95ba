#include "app/desk/jobs/all_jobs_table_model.h"

#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/path_text.h"

#include <utility>

namespace shimledger::desk {

void AllJobsTableModel::setJobs(std::vector<planner::SharedJobPlan> jobs) {
    beginResetModel();
    m_jobs = std::move(jobs);
    endResetModel();
}

int AllJobsTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_jobs.size());
}

int AllJobsTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : column_count;
}

QString AllJobsTableModel::text(const planner::SharedJobPlan& plan, int column) {
    switch (column) {
    case job:
        return textOf(plan.name);
    case gets:
        if (!plan.proposal) {
            return tr("nothing");
        }
        return plan.proposal->discs_changed == 0 ? tr("its own target")
                                                 : tr("%1 off").arg(perCentText(plan.deviation));
    case alone:
        if (plan.alone == planner::SubstituteStatus::nothing_possible) {
            return tr("nothing");
        }
        if (!plan.deviation_alone) {
            return tr("not known");
        }
        return plan.alone == planner::SubstituteStatus::proved_best
                   ? perCentText(*plan.deviation_alone)
                   : tr("at most %1").arg(perCentText(*plan.deviation_alone));
    case sentence:
        return textOf(plan.sentence);
    default:
        return {};
    }
}

QVariant AllJobsTableModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) {
        return {};
    }
    const planner::SharedJobPlan& plan = m_jobs[static_cast<std::size_t>(index.row())];
    switch (role) {
    case Qt::DisplayRole:
        return text(plan, index.column());
    case Qt::ToolTipRole:
        return textOf(plan.sentence);
    case Qt::TextAlignmentRole:
        return QVariant::fromValue(
            Qt::Alignment(Qt::AlignVCenter | (index.column() == alone ? Qt::AlignRight : Qt::AlignLeft)));
    case Qt::AccessibleTextRole:
        return QStringLiteral("%1: %2").arg(
            headerData(index.column(), Qt::Horizontal, Qt::DisplayRole).toString(),
            text(plan, index.column()));
    default:
        return {};
    }
}

QVariant AllJobsTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation == Qt::Vertical) {
        return role == Qt::DisplayRole ? QVariant(section + 1) : QVariant();
    }
    if (role == Qt::DisplayRole) {
        switch (section) {
        case job:
            return tr("Job");
        case gets:
            return tr("Gets");
        case alone:
            return tr("Alone");
        case sentence:
            return tr("Who stands in its way");
        default:
            return {};
        }
    }
    if (role == Qt::ToolTipRole) {
        switch (section) {
        case job:
            return tr("Open jobs, the most urgent first");
        case gets:
            return tr("How far the stack that it gets is from its target");
        case alone:
            return tr("The same if the other jobs took nothing");
        case sentence:
            return tr("Which jobs take the discs that it would need to come closer");
        default:
            return {};
        }
    }
    return {};
}

} // namespace shimledger::desk
