// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/reorder.h"
#endif

#include <QAbstractTableModel>
#include <QUndoStack>

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::desk {

/// The lines of a reorder plan under a heading for each supplier that has its totals; what stops a job comes
/// first, of the suppliers and of the lines. Packs can be typed over; 0 drops a line from the order, and
/// prices and totals follow. What is typed or added can be undone, and is told beside what was planned.
class PlanTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column {
        what,
        why,
        packs,
        pack_of,
        pieces,
        price,
        total,
        priced_on,
        part,
        shelf_life,
        column_count
    };

    using QAbstractTableModel::QAbstractTableModel;

    void setPlan(services::ReorderPlan plan);
    /// With the packs as they were typed.
    [[nodiscard]] const services::ReorderPlan& plan() const { return m_plan; }
    /// Typed over or added to since setPlan.
    [[nodiscard]] bool edited() const { return m_edited; }
    /// Packs of the row as they were planned, where they are others now; std::logic_error for a heading.
    [[nodiscard]] std::optional<std::int64_t> plannedPacks(int row) const;
    /// What the orders to these suppliers cost more than as they were planned, by currency.
    [[nodiscard]] std::map<std::string, inventory::Hundredths> dearerThanPlanned() const;
    /// A row that heads a supplier's lines.
    [[nodiscard]] bool isHeading(int row) const;
    [[nodiscard]] int firstLine() const; ///< row of the first line; -1 where there is none
    [[nodiscard]] bool anyShelfLife() const;
    [[nodiscard]] const services::ReorderLine& line(int row) const; ///< std::logic_error for a heading
    [[nodiscard]] const services::SupplierOrder& orderOf(int row) const;
    [[nodiscard]] int headingOf(const QString& supplier) const; ///< its row; -1 where there is none
    /// Replaces the plan by one that was typed over before; that is no step to be undone.
    void setEditedPlan(services::ReorderPlan plan);
    /// Replaces the plan by one that somebody added to by hand, as a step that can be undone.
    void changePlan(services::ReorderPlan plan, const QString& step);
    [[nodiscard]] QUndoStack& history() { return m_history; }

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    bool setData(const QModelIndex& index, const QVariant& value, int role) override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

signals:
    void totalsChanged();

private:
    [[nodiscard]] QVariant cell(const QModelIndex& index, int role) const;
    bool take(const QModelIndex& index, const QVariant& value, int role); ///< what was typed into a cell
    struct Place {
        std::size_t order = 0;
        std::optional<std::size_t> line; ///< none: the heading
    };
    class PacksStep;
    class PlanStep;
    void begin(services::ReorderPlan plan, bool edited);
    void show(services::ReorderPlan plan, bool edited);
    void setPacks(const Place& place, int count, bool edited);
    void place();
    [[nodiscard]] QString text(const Place& place, int column) const;
    [[nodiscard]] static QString headingText(const services::SupplierOrder& order);
    [[nodiscard]] std::optional<std::int64_t> plannedPacks(const Place& place) const;
    [[nodiscard]] QString tipOf(const Place& place) const;
    [[nodiscard]] QVariant headingData(const Place& place, int column, int role) const;

    services::ReorderPlan m_plan;
    std::vector<services::SupplierOrder> m_planned; ///< as setPlan brought them
    std::vector<Place> m_rows;
    bool m_edited = false;
    QUndoStack m_history;
};

} // namespace shimledger::desk
