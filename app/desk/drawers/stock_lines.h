// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/state_mark.h"
#ifndef Q_MOC_RUN // moc 6.4 trips over what <chrono> brings in
#include "app/services/stock_level.h"
#include "inventory/stock_snapshot.h"
#endif

#include <QCoreApplication>
#include <QString>
#include <QStringList>

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace shimledger::desk {

/// How each part stands, by code; none: not read yet.
using StockLevels = std::map<std::string, std::shared_ptr<const services::StockLevel>>;

/// One line of the stock table: a lot in a bin, or a part of the catalogue that is nowhere.
struct StockLine {
    Q_DECLARE_TR_FUNCTIONS(StockLine)

public:
    inventory::StockLot lot; ///< of a part that is nowhere: no bin, 0 on hand
    QString size;
    std::int64_t part_available = 0;                     ///< of the part, over all bins
    QString cabinet{};                                   ///< of the bin; empty: nowhere
    std::shared_ptr<const services::StockLevel> level{}; ///< of the part; null: not known yet

    [[nodiscard]] bool out() const { return lot.on_hand == 0; }
    [[nodiscard]] bool allReserved() const { return !out() && lot.available() == 0; }
    [[nodiscard]] bool low() const { return level && level->low; }
    [[nodiscard]] bool shortForJobs() const { return level && level->short_for_jobs > 0; }

    [[nodiscard]] QString stateText() const;  ///< "1 short for JOB-1005", "all reserved", "low"; empty: well
    [[nodiscard]] QString shortState() const; ///< one or two words of that, for a small place
    [[nodiscard]] QStringList stateWords() const; ///< by which it is found: without counts, but with all jobs
    [[nodiscard]] StateMark mark() const;         ///< of that
    [[nodiscard]] QString whatText() const;    ///< "24.0 x 6.0 x 0.10"; the description where it has no size
    [[nodiscard]] QString explanation() const; ///< what it is, and its figures against the reorder point
};

/// A drawer compartment, whether anything lies in it or not.
struct DrawerPlace {
    QString bin;
    QString cabinet;
};

struct StockReading {
    std::vector<StockLine> lines;    ///< every lot by walking order, then the parts of which there is nothing
    std::vector<DrawerPlace> places; ///< by walking order
};

[[nodiscard]] StockReading readStock(inventory::ShopFile& shop);
[[nodiscard]] StockLevels readStockLevels(inventory::ShopFile& shop);

} // namespace shimledger::desk
