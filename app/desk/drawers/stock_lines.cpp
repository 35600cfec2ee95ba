// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/drawers/stock_lines.h"

#include "app/desk/path_text.h"
#include "inventory/bin.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"

namespace shimledger::desk {

QString StockLine::stateText() const {
    QStringList words;
    if (out()) {
        words << tr("none left");
    } else if (allReserved()) {
        words << tr("all reserved");
    }
    if (shortForJobs()) {
        const auto jobs = static_cast<int>(level->jobs.size());
        const QString job = jobs > 0 ? textOf(level->jobs.front()) : QString();
        words << (jobs == 0   ? tr("%1 short").arg(level->short_for_jobs)
                  : jobs == 1 ? tr("%1 short for %2").arg(level->short_for_jobs).arg(job)
                              : tr("%1 short for %2 and others").arg(level->short_for_jobs).arg(job));
    } else if (low() && !out()) {
        words << tr("low");
    }
    return words.join(QStringLiteral(", "));
}

QString StockLine::shortState() const {
    return out() ? tr("none left") : shortForJobs() ? tr("short") : low() ? tr("low") : QString();
}

QStringList StockLine::stateWords() const {
    QStringList words;
    if (out()) {
        words << tr("none left");
    }
    if (allReserved()) {
        words << tr("all reserved");
    }
    if (low()) {
        words << tr("low");
    }
    if (shortForJobs()) {
        words << tr("short");
        for (const std::string& job : level->jobs) {
            words << textOf(job);
        }
    }
    return words;
}

StateMark StockLine::mark() const {
    if (out() || shortForJobs()) {
        return StateMark::missing;
    }
    // A lot that is all reserved is no alarm where there is more of the part elsewhere.
    if (allReserved() && (part_available > 0 || !low())) {
        return StateMark::held;
    }
    return low() ? StateMark::low : StateMark::none;
}

QString StockLine::whatText() const {
    return size.isEmpty() ? textOf(lot.description) : size;
}

QString StockLine::explanation() const {
    QString text = textOf(lot.description);
    if (level) {
        text += (text.isEmpty() ? QString() : QStringLiteral("\n")) +
                tr("In all: %1").arg(textOf(level->why)) +
                (level->low && level->on_order > 0 ? tr(", which will do") : QString());
    }
    return text;
}

StockReading readStock(inventory::ShopFile& shop) {
    StockReading reading;
    shop.consistently([&] {
        std::map<std::string, inventory::Part> parts;
        for (inventory::Part& part : inventory::PartCatalogue(shop).list(inventory::Retired::included)) {
            parts.emplace(part.code, part);
        }
        std::map<std::string, QString> cabinets;
        for (const inventory::Bin& bin : inventory::BinList(shop).list(inventory::Retired::included)) {
            if (!bin.retired) reading.places.push_back({textOf(bin.code), textOf(bin.cabinet)});
            cabinets.emplace(bin.code, textOf(bin.cabinet));
        }
        std::map<std::string, inventory::PartBalance> balances;
        for (inventory::PartBalance& balance : inventory::partBalances(shop)) {
            balances.emplace(balance.part, balance);
        }
        for (inventory::StockLot& lot : inventory::stockSnapshot(shop).lots) {
            const inventory::Part& part = parts.at(lot.part);
            const std::int64_t available = balances.at(lot.part).available();
            reading.lines.push_back(
                {lot, textOf(inventory::partSizeText(part)), available, cabinets[lot.bin]});
        }
        for (const auto& [code, part] : parts) {
            if (balances.at(code).on_hand > 0 || part.retired) {
                continue;
            }
            inventory::StockLot none;
            none.part = code;
            none.kind = part.kind;
            none.description = part.description;
            none.od = part.od;
            none.id = part.id;
            none.thickness = part.thickness;
            reading.lines.push_back({none, textOf(inventory::partSizeText(part))});
        }
    });
    return reading;
}

StockLevels readStockLevels(inventory::ShopFile& shop) {
    StockLevels levels;
    for (auto& [part, level] : services::stockLevels(shop)) {
        levels.emplace(part, std::make_shared<const services::StockLevel>(std::move(level)));
    }
    return levels;
}

} // namespace shimledger::desk
