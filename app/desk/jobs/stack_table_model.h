#pragma once

#include "planner/stack/stack_spec.h"

#include <QAbstractTableModel>
#include <QString>

#include <cstdint>
#include <vector>

namespace shimledger::desk {

/// One row of a target stack and what the drawers hold of it.
struct StackLine {
    planner::DiscRow row;
    std::int64_t needed = 0; ///< all legs
    QString bins;            ///< in walking order, "A3, B1"; empty: nowhere
    std::int64_t on_hand = 0;
    std::int64_t reserved = 0;
    std::int64_t available = 0;
    std::int64_t missing = 0;       ///< of the size, all rows of it together; 0: enough
    std::int64_t reserved_here = 0; ///< of the size, for this very job
    bool substituted = false;       ///< other discs are reserved for the job in its place

    bool operator==(const StackLine&) const = default;
};

/// The target stack of a job, piston face first, against the drawers.
class StackTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column { position, disc, needed, bins, on_hand, reserved, available, state, column_count };

    using QAbstractTableModel::QAbstractTableModel;

    void setLines(std::vector<StackLine> lines);
    [[nodiscard]] const std::vector<StackLine>& lines() const { return m_lines; }

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    [[nodiscard]] QString text(int row, int column) const;

    std::vector<StackLine> m_lines;
};

} // namespace shimledger::desk
