// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/desk/length_text.h"
#include "planner/stack/stack_spec.h"
#endif

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
    bool ended = false; ///< of a job that has ended: what the drawers hold today is beside the point

    bool operator==(const StackLine&) const = default;
};

/// The target stack of a job, piston face first, against the drawers. Its sizes can be typed into.
class StackTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column { position, count, od, thickness, needed, available, state, on_hand, bins, column_count };

    using QAbstractTableModel::QAbstractTableModel;

    void setLines(std::vector<StackLine> lines);
    /// Whether count, diameter and thickness may be typed into; what was typed comes out of rowTyped().
    void setEditable(bool editable) { m_editable = editable; }
    /// Sizes are shown and typed in it; another one is written behind the number.
    void setSizeUnit(SizeUnit unit);
    /// The row with one column as it is being typed; throws InputError on what is no such value.
    [[nodiscard]] planner::DiscRow typedRow(const QModelIndex& index, const QString& typed) const;
    [[nodiscard]] const std::vector<StackLine>& lines() const { return m_lines; }

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;
    bool setData(const QModelIndex& index, const QVariant& value, int role) override;

signals:
    void rowTyped(int row, const shimledger::planner::DiscRow& changed);
    void typingRefused(const QString& sentence);

private:
    [[nodiscard]] QVariant cell(const QModelIndex& index, int role) const;
    bool take(const QModelIndex& index, const QVariant& value, int role); ///< what was typed into a cell
    [[nodiscard]] QString text(int row, int column) const;

    std::vector<StackLine> m_lines;
    bool m_editable = false;
    SizeUnit m_unit = SizeUnit::millimetres;
};

} // namespace shimledger::desk
