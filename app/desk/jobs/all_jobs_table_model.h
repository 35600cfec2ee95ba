// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/plan_all_jobs.h"
#endif

#include <QAbstractTableModel>

#include <vector>

namespace shimledger::desk {

/// What one plan gives to every open job, the most urgent first.
class AllJobsTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column { job, gets, alone, held_back, column_count };

    using QAbstractTableModel::QAbstractTableModel;

    void setJobs(std::vector<planner::SharedJobPlan> jobs);
    [[nodiscard]] const planner::SharedJobPlan& plan(int row) const {
        return m_jobs.at(static_cast<std::size_t>(row));
    }

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    [[nodiscard]] QVariant cell(const QModelIndex& index, int role) const;
    [[nodiscard]] static QString text(const planner::SharedJobPlan& plan, int column);

    std::vector<planner::SharedJobPlan> m_jobs;
};

} // namespace shimledger::desk
