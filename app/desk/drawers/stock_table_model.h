#pragma once

#include "app/desk/state_mark.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "inventory/stock_snapshot.h"
#endif

#include <QAbstractTableModel>
#include <QSortFilterProxyModel>

#include <optional>
#include <vector>

namespace shimledger::desk {

/// One line of the stock table: a lot in a bin, or a part of the catalogue that is nowhere.
struct StockLine {
    inventory::StockLot lot; ///< of a part that is nowhere: no bin, 0 on hand
    QString size;
    std::optional<std::int64_t> reorder_point;
    std::int64_t part_available = 0; ///< of the part, over all bins
    QString cabinet{};               ///< of the bin; empty: nowhere

    [[nodiscard]] bool out() const { return lot.on_hand == 0; }
    [[nodiscard]] bool low() const { return reorder_point && part_available <= *reorder_point; }
};

/// A triangle for what is low or gone, a square for what is all reserved.
[[nodiscard]] StateMark markOf(const StockLine& line);

/// Every lot of the drawers by walking order, then the parts of which there is nothing.
[[nodiscard]] std::vector<StockLine> readStockLines(inventory::ShopFile& shop);

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
    static constexpr int sort_role = Qt::UserRole;       ///< a value that sorts as it should
    static constexpr int search_role = Qt::UserRole + 1; ///< all that a person may type, in lower case

    using QAbstractTableModel::QAbstractTableModel;

    void setLines(std::vector<StockLine> lines);
    [[nodiscard]] const StockLine& line(int row) const { return m_lines.at(static_cast<std::size_t>(row)); }

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] int columnCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;
    [[nodiscard]] QVariant headerData(int section, Qt::Orientation orientation, int role) const override;

private:
    [[nodiscard]] const QString& searchText(std::size_t row) const;
    [[nodiscard]] QString text(const StockLine& line, int column) const;
    [[nodiscard]] static QVariant sortValue(const StockLine& line, int column);
    [[nodiscard]] QString stateText(const StockLine& line) const;

    std::vector<StockLine> m_lines;
    mutable std::vector<QString> m_search; ///< by row, made when first asked for
};

/// Keeps the lines that hold every word typed, in any order: "24 0.10 a3" finds the 24 mm disc in drawer A3.
class StockFilterModel : public QSortFilterProxyModel {
    Q_OBJECT

public:
    enum class Shown { everything, low, out, reserved };

    explicit StockFilterModel(QObject* parent = nullptr);
    void setWords(const QString& text);
    void setShown(Shown shown);
    void setCabinet(const QString& cabinet); ///< empty: all of them

protected:
    [[nodiscard]] bool filterAcceptsRow(int row, const QModelIndex& parent) const override;

private:
    QStringList m_words;
    QString m_cabinet;
    Shown m_shown = Shown::everything;
};

} // namespace shimledger::desk
