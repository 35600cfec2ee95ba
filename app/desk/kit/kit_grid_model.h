// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/kit_plan.h"
#endif

#include <QAbstractTableModel>

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <vector>

namespace shimledger::desk {

/// Shims of one bore, OD down and thickness across: how many of each to keep. The deeper the colour, the more
/// jobs are lost without the size; the number says how many, a sign what else: + is bought, ! is to be freed,
/// ~ may run out, and locks have their own.
class KitGridModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum class Kind { none, kept, dead, spared };
    enum class Lock { none, kept, out };
    struct Cell {
        Kind kind = Kind::none;
        const services::KitSize* size = nullptr; ///< lives as long as the kit is shown
    };

    explicit KitGridModel(QObject* parent = nullptr);

    void setKit(std::shared_ptr<const services::KitResult> kit); ///< none: an empty grid
    void setBore(Length bore);
    [[nodiscard]] std::vector<Length> bores() const; ///< of the kit's sizes
    [[nodiscard]] Cell cell(const QModelIndex& index) const;
    [[nodiscard]] planner::DiscSize sizeOf(const QModelIndex& index) const;
    [[nodiscard]] QModelIndex
    indexOf(const planner::DiscSize& size) const; ///< invalid where the grid has it not

    void setLock(const QModelIndex& index, Lock lock);
    void clearLocks();
    [[nodiscard]] Lock lockOf(const planner::DiscSize& size) const;
    [[nodiscard]] std::vector<planner::DiscSize> locked(Lock lock) const;

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role = Qt::DisplayRole) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    void layOut();
    [[nodiscard]] QString words(const QModelIndex& index) const;

    std::shared_ptr<const services::KitResult> m_kit;
    std::map<planner::DiscSize, Cell> m_cells;
    std::map<planner::DiscSize, Lock> m_locks;
    std::vector<Length> m_ods, m_thicknesses;
    std::optional<Length> m_bore;
    double m_most_lost = 0;
};

} // namespace shimledger::desk
