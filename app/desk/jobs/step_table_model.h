// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN
#include "planner/substitute/single_steps.h"
#endif

#include <QAbstractTableModel>

#include <vector>

namespace shimledger::desk {

/// What each single step does to a target's curve, in the order of its rows or of the column that the table
/// is sorted by.
class StepTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column { what, picture, low, middle, full, drawers, column_count };
    static constexpr int bars_role = Qt::UserRole; ///< of the picture: its changes as parts of the largest

    using QAbstractTableModel::QAbstractTableModel;

    void setSteps(planner::StepTable table);
    [[nodiscard]] const planner::SingleStep& stepAt(int at) const {
        return m_table.steps.at(m_order.at(static_cast<std::size_t>(at)));
    }

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;
    void sort(int column, Qt::SortOrder order) override; ///< column -1: by the target's rows

private:
    [[nodiscard]] QVariant cell(const QModelIndex& index, int role) const;
    [[nodiscard]] QString text(const planner::SingleStep& step, int column) const;
    [[nodiscard]] QString drawersText(const planner::SingleStep& step) const;
    void putInOrder();

    planner::StepTable m_table;
    std::vector<std::size_t> m_order; ///< by row
    int m_sorted_by = -1;
    Qt::SortOrder m_sort_order = Qt::AscendingOrder;
    double m_largest = 0; ///< change of all
};

} // namespace shimledger::desk
