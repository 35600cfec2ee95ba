// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/drawers/stock_lines.h"
#include "app/desk/find_words.h"

#include <QAbstractTableModel>

#include <optional>
#include <vector>

namespace shimledger::desk {

/// The lots of the drawers. How the parts stand comes later than the lots, as it is read from the whole
/// ledger.
class StockTableModel : public QAbstractTableModel {
    Q_OBJECT

public:
    enum Column {
        bin,
        kind,
        size,
        part,
        condition,
        measured,
        on_hand,
        reserved,
        available,
        state,
        column_count
    };
    static constexpr int sort_role = Qt::UserRole; ///< a value that sorts as it should

    using QAbstractTableModel::QAbstractTableModel;

    void setLines(std::vector<StockLine> lines); ///< with the levels that are known already
    void setLevels(StockLevels levels);
    [[nodiscard]] const StockLevels& levels() const { return m_levels; }
    [[nodiscard]] quint64 edition() const { return m_edition; } ///< another one after each change; never 0
    [[nodiscard]] const StockLine& line(int row) const { return m_lines.at(static_cast<std::size_t>(row)); }

    /// What may be typed to find the line: what it is and where, not how many there are.
    [[nodiscard]] const FindKey& findKey(int row) const;

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    [[nodiscard]] QVariant cell(const QModelIndex& index, int role) const;
    [[nodiscard]] static QString text(const StockLine& line, int column);
    [[nodiscard]] static QVariant sortValue(const StockLine& line, int column);
    void takeLevels();

    std::vector<StockLine> m_lines;
    StockLevels m_levels;
    quint64 m_edition = 1;
    mutable std::vector<FindKey> m_keys; ///< by row, made when first asked for
};

} // namespace shimledger::desk
