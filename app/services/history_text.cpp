// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/history_text.h"

#include "inventory/job_valves.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_history.h"

#include <algorithm>
#include <map>
#include <stdexcept>

namespace shimledger::services {

namespace {

using inventory::LedgerEntry;
using inventory::MovementKind;

std::string amount(const LedgerEntry& entry, std::string_view unit) {
    std::string text = std::to_string(entry.quantity) + " ";
    if (!unit.empty() && unit != "piece") text.append(unit).append(" ");
    text += "of " + entry.part;
    return entry.condition == inventory::Condition::used ? text + " (used)" : text;
}

std::string were(const LedgerEntry& entry) {
    return entry.quantity == 1 ? " was " : " were ";
}

std::string inPlaceOf(const LedgerEntry& entry) {
    return entry.wanted_part.empty() ? std::string() : ", in place of " + entry.wanted_part;
}

std::string forJob(const LedgerEntry& entry, const char* word) {
    return entry.job.empty() ? std::string() : std::string(" ") + word + " " + entry.job;
}

std::string countText(const LedgerEntry& entry, const std::string& what) {
    std::string text = "A count found " + what + " in " + entry.bin;
    if (entry.on_hand_change == 0) return text + ", as in the books";
    return text + ", " +
           std::to_string(entry.on_hand_change < 0 ? -entry.on_hand_change : entry.on_hand_change) +
           (entry.on_hand_change < 0 ? " fewer" : " more") + " than in the books";
}

std::string moveText(const LedgerEntry& entry, const std::string& what) {
    const bool out = entry.on_hand_change < 0;
    return what + were(entry) + "moved from " + (out ? entry.bin : entry.other_bin) + " to " +
           (out ? entry.other_bin : entry.bin);
}

std::string body(const LedgerEntry& entry, std::string_view unit) {
    const std::string what = amount(entry, unit);
    switch (entry.kind) {
    case MovementKind::receipt:
        return what + " came" + " into " + entry.bin +
               (entry.supplier.empty() ? "" : " from " + entry.supplier) +
               (entry.order_line ? ", order line " + std::to_string(*entry.order_line) : "");
    case MovementKind::reserve:
        return what + " in " + entry.bin + were(entry) + "reserved for " + entry.job + inPlaceOf(entry);
    case MovementKind::release:
        return what + " in " + entry.bin + were(entry) + "released by " + entry.job + inPlaceOf(entry);
    case MovementKind::issue:
        return what + were(entry) + "pulled from " + entry.bin + forJob(entry, "for") + inPlaceOf(entry);
    case MovementKind::returned:
        return what + were(entry) + "put back into " + entry.bin + forJob(entry, "from");
    case MovementKind::scrap:
        return what + were(entry) + "scrapped from " + entry.bin + forJob(entry, "for");
    case MovementKind::count:
        return countText(entry, what);
    case MovementKind::move:
        return moveText(entry, what);
    case MovementKind::reversal:
        return "Movement " + std::to_string(entry.reverses.value_or(0)) + " was undone: " + what + " in " +
               entry.bin + forJob(entry, "for");
    }
    throw std::logic_error("a kind of movement has no sentence");
}

/// What happened, without what and how many: those stand beside it.
std::string shortBody(const LedgerEntry& entry) {
    const std::string quantity = std::to_string(entry.quantity);
    switch (entry.kind) {
    case MovementKind::receipt:
        return "came" + (entry.supplier.empty() ? std::string() : " from " + entry.supplier) +
               (entry.order_line ? ", order line " + std::to_string(*entry.order_line) : "");
    case MovementKind::reserve:
        return quantity + " reserved for " + entry.job + inPlaceOf(entry);
    case MovementKind::release:
        return quantity + " released by " + entry.job + inPlaceOf(entry);
    case MovementKind::issue:
        return "pulled" + forJob(entry, "for") + inPlaceOf(entry);
    case MovementKind::returned:
        return "put back" + forJob(entry, "from");
    case MovementKind::scrap:
        return "scrapped" + forJob(entry, "for");
    case MovementKind::count:
        return entry.on_hand_change == 0 ? "counted, as in the books" : "counted: " + quantity;
    case MovementKind::move:
        return entry.on_hand_change < 0 ? "moved to " + entry.other_bin : "moved from " + entry.other_bin;
    case MovementKind::reversal:
        return "movement " + std::to_string(entry.reverses.value_or(0)) + " undone" + forJob(entry, "for");
    }
    throw std::logic_error("a kind of movement has no words");
}

/// "piece", "mm" or "ml" of a part, each looked up once.
class Units {
public:
    explicit Units(inventory::ShopFile& shop) : m_catalogue(shop) {}
    std::string_view of(const std::string& part) {
        const auto known = m_units.find(part);
        if (known != m_units.end()) return known->second;
        return m_units[part] = inventory::quantityUnitName(m_catalogue.get(part).unit);
    }

private:
    inventory::PartCatalogue m_catalogue;
    std::map<std::string, std::string_view> m_units;
};

/// The half of a move that only says once more what the first half said.
bool secondHalf(const LedgerEntry& entry) {
    if (entry.other_bin.empty()) return false;
    return entry.kind == MovementKind::reversal ? entry.on_hand_change < 0 : entry.on_hand_change > 0;
}

HistoryLine told(const LedgerEntry& entry, std::string_view unit) {
    HistoryLine line;
    line.number = entry.number;
    line.batch = entry.batch;
    line.utc = entry.utc;
    line.kind = entry.kind;
    line.on_hand_change = entry.on_hand_change;
    line.undone = entry.reversed_by.has_value();
    line.sentence = movementSentence(entry, unit);
    line.part = entry.part;
    line.bin = entry.bin;
    line.condition = entry.condition;
    line.short_text = shortBody(entry);
    // "pulled (pulled)" says nothing twice.
    if (!entry.reason.empty() && !line.short_text.starts_with(entry.reason))
        line.short_text += " (" + entry.reason + ")";
    if (entry.reversed_by) line.short_text += "; undone";
    return line;
}

HistoryLine told(const inventory::MasterChange& change) {
    HistoryLine line;
    line.utc = change.utc;
    line.part = change.about.part;
    line.bin = change.about.bin;
    line.sentence = changeSentence(change);
    line.short_text = line.sentence.substr(0, line.sentence.size() - 1);
    line.change = change;
    return line;
}

/// Both are in their own order already; where a clock has jumped, each keeps it.
std::vector<HistoryLine> withChanges(std::vector<HistoryLine> movements,
                                     const std::vector<inventory::MasterChange>& changes) {
    std::vector<HistoryLine> lines;
    lines.reserve(movements.size() + changes.size());
    auto next = changes.begin();
    std::int64_t on_hand = 0;
    const auto tell = [&] {
        lines.push_back(told(*next++));
        lines.back().on_hand_after = on_hand;
    };
    for (HistoryLine& movement : movements) {
        while (next != changes.end() && next->utc < movement.utc) tell();
        on_hand = movement.on_hand_after;
        lines.push_back(std::move(movement));
    }
    while (next != changes.end()) tell();
    return lines;
}

} // namespace

std::string movementSentence(const LedgerEntry& entry, std::string_view unit) {
    std::string text = body(entry, unit);
    if (!entry.reason.empty()) text += " (" + entry.reason + ")";
    if (entry.reversed_by) text += "; undone by movement " + std::to_string(*entry.reversed_by);
    return text + ".";
}

std::vector<HistoryLine> supplierHistory(inventory::ShopFile& shop, std::string_view name) {
    return withChanges({}, inventory::MasterHistory(shop).ofSupplier(name));
}

std::vector<HistoryLine> modelHistory(inventory::ShopFile& shop, std::string_view code) {
    return withChanges({}, inventory::MasterHistory(shop).ofModel(code));
}

std::vector<HistoryLine> classHistory(inventory::ShopFile& shop, std::string_view part_class) {
    return withChanges({}, inventory::MasterHistory(shop).ofClass(part_class));
}

std::vector<HistoryLine> recipeHistory(inventory::ShopFile& shop, std::string_view name) {
    return withChanges({}, inventory::MasterHistory(shop).ofRecipe(name));
}

std::vector<HistoryLine> partHistory(inventory::ShopFile& shop, std::string_view part) {
    std::vector<HistoryLine> lines;
    shop.consistently([&] {
        Units units(shop);
        std::int64_t on_hand = 0;
        for (const LedgerEntry& entry : inventory::StockHistory(shop).ofPart(part)) {
            // Both halves of a move leave the part's sum as it was.
            if (!entry.other_bin.empty()) {
                if (secondHalf(entry)) continue;
                lines.push_back(told(entry, units.of(entry.part)));
                lines.back().on_hand_change = 0;
            } else {
                on_hand += entry.on_hand_change;
                lines.push_back(told(entry, units.of(entry.part)));
            }
            lines.back().on_hand_after = on_hand;
        }
        lines = withChanges(std::move(lines), inventory::MasterHistory(shop).ofPart(part));
    });
    return lines;
}

std::vector<HistoryLine> binHistory(inventory::ShopFile& shop, std::string_view bin) {
    std::vector<HistoryLine> lines;
    shop.consistently([&] {
        Units units(shop);
        std::map<std::string, std::int64_t> on_hand;
        for (const LedgerEntry& entry : inventory::StockHistory(shop).ofBin(bin)) {
            lines.push_back(told(entry, units.of(entry.part)));
            lines.back().on_hand_after = on_hand[entry.part] += entry.on_hand_change;
        }
        lines = withChanges(std::move(lines), inventory::MasterHistory(shop).ofBin(bin));
    });
    return lines;
}

std::vector<HistoryLine> jobHistory(inventory::ShopFile& shop, std::string_view job) {
    std::vector<HistoryLine> lines;
    shop.consistently([&] {
        Units units(shop);
        for (const inventory::Job& valve : inventory::valvesWithin(shop, job)) {
            for (const LedgerEntry& entry : inventory::StockHistory(shop).ofJob(valve.code))
                lines.push_back(told(entry, units.of(entry.part)));
        }
        std::stable_sort(lines.begin(), lines.end(), [](const HistoryLine& one, const HistoryLine& other) {
            return one.number < other.number;
        });
    });
    return lines;
}

} // namespace shimledger::services
