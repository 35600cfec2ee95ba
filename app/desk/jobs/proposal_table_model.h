// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/warp_check.h"
#include "planner/substitute/substitute_result.h"

#include <QAbstractTableModel>

#include <vector>

namespace shimledger::desk {

/// The substitutes that were found for a job, closest first, or by the column that they are sorted by.
class ProposalTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column {
        deviation,
        from_target,
        warped,
        small_lift,
        changed,
        height,
        scatter,
        merits,
        column_count
    };

    using QAbstractTableModel::QAbstractTableModel;

    /// `comparisons`: what the warp model says, one a proposal; empty where it was not asked.
    void setProposals(std::vector<planner::SubstituteProposal> proposals,
                      std::vector<services::WarpComparison> comparisons = {},
                      std::vector<services::ClickAdvice> clicks = {});
    /// The place of a row's proposal among those that were set, from 0.
    [[nodiscard]] std::size_t placeOf(int row) const { return m_order.at(static_cast<std::size_t>(row)); }
    [[nodiscard]] int rowOf(std::size_t place) const;
    [[nodiscard]] const planner::SubstituteProposal& proposal(int row) const {
        return m_proposals.at(placeOf(row));
    }
    void sort(int column, Qt::SortOrder order) override; ///< column -1: closest first

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    [[nodiscard]] QVariant cell(const QModelIndex& index, int role) const;
    [[nodiscard]] QString text(std::size_t row, int column) const;
    [[nodiscard]] QString meritsText(std::size_t row) const;
    [[nodiscard]] QString warpedText(std::size_t row) const;
    [[nodiscard]] QStringList details(std::size_t row) const;
    void putInOrder();
    [[nodiscard]] double sortKey(std::size_t row, int column) const;

    std::vector<planner::SubstituteProposal> m_proposals;
    std::vector<services::WarpComparison> m_comparisons;
    std::vector<std::size_t> m_order; ///< by row
    int m_sorted_by = -1;
    Qt::SortOrder m_sort_order = Qt::AscendingOrder;
    std::vector<services::ClickAdvice> m_clicks; ///< empty where the valve has no adjuster
};

[[nodiscard]] QString perCentText(double fraction); ///< "1.3 %"
/// "+1.3 %", with the sign always shown.
[[nodiscard]] QString signedPerCentText(double fraction);

/// Where to pull what, one line a pull.
[[nodiscard]] QStringList pullLines(const std::vector<planner::Pull>& pulls);

} // namespace shimledger::desk
