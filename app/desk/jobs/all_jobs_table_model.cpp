// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/all_jobs_table_model.h"

#include "app/desk/guard.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/path_text.h"

#include <cmath>
#include <utility>

namespace shimledger::desk {

namespace {

constexpr double same_deviation = 5e-5; // told alike, to 0.1 %

bool sameAlone(const planner::SharedJobPlan& plan) {
    return plan.proposal && plan.deviation_alone &&
           std::abs(*plan.deviation_alone - plan.deviation) < same_deviation;
}

} // namespace

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
        return plan.proposal->discs_changed == 0
                   ? tr("own discs (%1 as measured)").arg(perCentText(plan.deviation))
                   : tr("%1 off").arg(perCentText(plan.deviation));
    case alone:
        if (plan.alone == planner::SubstituteStatus::nothing_possible) {
            return tr("nothing");
        }
        if (!plan.deviation_alone) {
            return tr("not known");
        }
        if (sameAlone(plan)) {
            return tr("the same");
        }
        return plan.alone == planner::SubstituteStatus::proved_best
                   ? tr("%1 off").arg(perCentText(*plan.deviation_alone))
                   : tr("at most %1 off").arg(perCentText(*plan.deviation_alone));
    case held_back:
        if (plan.alone == planner::SubstituteStatus::nothing_possible) {
            return tr("the drawers alone");
        }
        return sameAlone(plan) ? tr("no other job") : textOf(plan.sentence);
    default:
        return {};
    }
}

QVariant AllJobsTableModel::data(const QModelIndex& index, int role) const {
    return answered(this, QVariant(), [&] { return cell(index, role); });
}

QVariant AllJobsTableModel::cell(const QModelIndex& index, int role) const {
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
        return QVariant::fromValue(Qt::Alignment(Qt::AlignVCenter | Qt::AlignLeft));
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
            return tr("Without the others");
        case held_back:
            return tr("Held back by");
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
            return tr("What it would get if the other jobs took nothing");
        case held_back:
            return tr("Which jobs take the discs that it would need to come closer");
        default:
            return {};
        }
    }
    return {};
}

} // namespace shimledger::desk
