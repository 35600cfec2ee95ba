#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/reorder.h"
#endif

#include <QAbstractTableModel>

#include <vector>

namespace shimledger::desk {

/// The lines of a reorder plan, supplier by supplier. Packs can be typed over; 0 drops a line from the order,
/// and prices and totals follow.
class PlanTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column {
        supplier,
        part,
        what,
        why,
        packs,
        pack_of,
        pieces,
        price,
        total,
        priced_on,
        shelf_life,
        column_count
    };

    using QAbstractTableModel::QAbstractTableModel;

    void setPlan(services::ReorderPlan plan);
    /// With the packs as they were typed.
    [[nodiscard]] const services::ReorderPlan& plan() const { return m_plan; }
    /// Typed over or added to since setPlan.
    [[nodiscard]] bool edited() const { return m_edited; }
    [[nodiscard]] const services::ReorderLine& line(int row) const;
    [[nodiscard]] const services::SupplierOrder& orderOf(int row) const;
    /// Replaces the plan by one that somebody added to by hand.
    void setEditedPlan(services::ReorderPlan plan);

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    bool setData(const QModelIndex& index, const QVariant& value, int role) override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

signals:
    void totalsChanged();

private:
    struct Place {
        std::size_t order = 0, line = 0;
    };
    void take(services::ReorderPlan plan, bool edited);
    void place();
    [[nodiscard]] QString text(const Place& place, int column) const;

    services::ReorderPlan m_plan;
    std::vector<Place> m_rows;
    bool m_edited = false;
};

} // namespace shimledger::desk
