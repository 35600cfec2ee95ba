// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/receive_order.h"
#endif

#include <QAbstractTableModel>

#include <vector>

namespace shimledger::desk {

/// What is still expected of open orders. What came now, and into which drawer, is typed in.
class ExpectedTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column { what, expected, came, bin, order, supplier, part, column_count };

    using QAbstractTableModel::QAbstractTableModel;

    /// Lines that expect nothing more are left out. What was typed into a line that stays is kept, `came`
    /// down to what is still expected; elsewhere it begins with 0.
    void setLines(const std::vector<services::ExpectedLine>& lines);
    /// Of that order, lines with something that came.
    [[nodiscard]] std::vector<services::ReceivedLine> received(const std::string& order_code) const;
    [[nodiscard]] const services::ExpectedLine& line(int row) const {
        return m_rows.at(static_cast<std::size_t>(row)).line;
    }
    /// As though all that is still expected of that order were typed, where nothing has been.
    void allCame(const std::string& order_code);
    /// What was typed for that order has been booked.
    void forget(const std::string& order_code);
    [[nodiscard]] bool edited() const;
    /// What was typed, to be kept until it is booked: line of order, what came, drawer.
    [[nodiscard]] QString draft() const;
    void applyDraft(const QString& draft); ///< what no longer fits is left out

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] Qt::ItemFlags flags(const QModelIndex& index) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    bool setData(const QModelIndex& index, const QVariant& value, int role) override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    [[nodiscard]] QVariant cell(const QModelIndex& index, int role) const;
    bool take(const QModelIndex& index, const QVariant& value, int role); ///< what was typed into a cell
    struct Row {
        services::ExpectedLine line;
        std::int64_t came = 0;
        bool bin_typed = false;
    };
    std::vector<Row> m_rows;
};

} // namespace shimledger::desk
