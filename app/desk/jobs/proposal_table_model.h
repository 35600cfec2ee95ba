#pragma once

#include "planner/substitute/substitute_result.h"

#include <QAbstractTableModel>

#include <vector>

namespace shimledger::desk {

/// The substitutes that were found for a job, closest first.
class ProposalTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column { deviation, at_lift, small_lift, changed, height, scatter, merits, column_count };

    using QAbstractTableModel::QAbstractTableModel;

    void setProposals(std::vector<planner::SubstituteProposal> proposals);
    [[nodiscard]] const planner::SubstituteProposal& proposal(int row) const {
        return m_proposals.at(static_cast<std::size_t>(row));
    }

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    [[nodiscard]] static QString text(const planner::SubstituteProposal& proposal, int column);

    std::vector<planner::SubstituteProposal> m_proposals;
};

[[nodiscard]] QString perCentText(double fraction); ///< "1.3 %"
/// "+1.3 %", with the sign always shown.
[[nodiscard]] QString signedPerCentText(double fraction);

/// The rows of one leg and the pulls by bin in walking order, as lines of text.
[[nodiscard]] QStringList pullLines(const planner::SubstituteProposal& proposal);

} // namespace shimledger::desk
