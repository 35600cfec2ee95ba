// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/reorder_summary.h"

#include "app/services/part_prices.h"
#include "app/services/reorder_need.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_history.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace shimledger::services {

namespace {

using inventory::CalendarDate;
using Prices = std::map<std::string, PiecePrice>;

constexpr double weeks_a_month = 52.0 / 12;

inventory::Hundredths worth(double pieces, const PiecePrice& price) {
    return std::llround(pieces * price.hundredths);
}

/// Stock of one part followed through the ledger.
struct Follow {
    std::int64_t on_hand = 0;
    bool begun = false;
    CalendarDate empty_since;
    std::optional<CalendarDate> last_asked, first_seen;
    StockOut out;
};

void endEmpty(Follow& follow, CalendarDate from, CalendarDate day) {
    const CalendarDate since = std::max(from, follow.empty_since);
    const auto days = (day.day() - since.day()).count();
    if (days <= 0) return; // out and in again on one day harms nobody
    ++follow.out.times;
    follow.out.days += static_cast<int>(days);
}

/// Runs through the ledger; days with nothing on hand count from the first piece ever on.
std::map<std::string, Follow> followStock(const inventory::ShopFile& shop, CalendarDate from,
                                          CalendarDate until) {
    std::map<std::string, Follow> parts;
    inventory::StockHistory(shop).forEach([&](const inventory::LedgerEntry& entry) {
        Follow& follow = parts[entry.part];
        const CalendarDate day = entry.utc.date();
        if (!follow.first_seen) follow.first_seen = day;
        if (entry.kind == inventory::MovementKind::issue && !entry.reversed_by) follow.last_asked = day;
        if (entry.kind == inventory::MovementKind::issue && !entry.reversed_by &&
            !entry.wanted_part.empty()) {
            parts[entry.wanted_part].last_asked = day;
        }
        const bool was_empty = follow.begun && follow.on_hand == 0;
        follow.on_hand += entry.on_hand_change;
        if (was_empty && follow.on_hand > 0) endEmpty(follow, from, day);
        if (follow.on_hand > 0) follow.begun = true;
        if (follow.begun && follow.on_hand == 0 && !was_empty) follow.empty_since = day;
    });
    for (auto& [part, follow] : parts) {
        if (follow.begun && follow.on_hand == 0) endEmpty(follow, from, until);
    }
    return parts;
}

void addStandIns(const inventory::ShopFile& shop, const Prices& prices, CalendarDate from, CalendarDate until,
                 std::map<std::string, Follow>& parts) {
    for (const auto& substitution : inventory::StockHistory(shop).substitutions(from, until)) {
        StockOut& out = parts[substitution.wanted].out;
        out.stand_ins += substitution.quantity;
        const auto used = prices.find(substitution.used), wanted = prices.find(substitution.wanted);
        if (used == prices.end() || wanted == prices.end() ||
            used->second.currency != wanted->second.currency)
            continue;
        const auto pieces = static_cast<double>(substitution.quantity);
        out.cost += worth(pieces, used->second) - worth(pieces, wanted->second);
        out.currency = used->second.currency;
    }
}

class Summary {
public:
    Summary(const ReorderInputs& inputs, const Prices& prices, std::map<std::string, Follow> parts)
        : m_inputs(inputs), m_prices(prices), m_parts(std::move(parts)) {
        summary.until = inputs.made.date();
        summary.from = summary.until.plusDays(-365);
    }

    void take(const PartNeed& need, const inventory::Part& part) {
        const Follow& follow = m_parts[part.code];
        const auto price = m_prices.find(part.code);
        const std::int64_t on_hand = need.line.on_hand;
        if (on_hand > 0 && price == m_prices.end()) ++summary.without_price;
        if (on_hand > 0 && price != m_prices.end()) {
            summary.value_on_hand[price->second.currency] +=
                worth(static_cast<double>(on_hand), price->second);
        }
        if (on_hand > 0) takeIdle(need, part, follow);
        if (follow.out.times == 0 && follow.out.stand_ins == 0) return;
        StockOut out = follow.out;
        out.part = part.code;
        out.what = need.line.what;
        summary.stock_outs.push_back(out);
    }

    ReorderSummary finish() {
        const auto dearer = [](const IdleStock& a, const IdleStock& b) {
            return std::tie(b.value, a.part) < std::tie(a.value, b.part);
        };
        std::sort(summary.dead.begin(), summary.dead.end(), dearer);
        std::sort(summary.overstock.begin(), summary.overstock.end(), dearer);
        std::sort(summary.stock_outs.begin(), summary.stock_outs.end(),
                  [](const StockOut& a, const StockOut& b) {
                      return std::tie(b.days, b.stand_ins, a.part) < std::tie(a.days, a.stand_ins, b.part);
                  });
        return std::move(summary);
    }

    ReorderSummary summary;

private:
    void takeIdle(const PartNeed& need, const inventory::Part& part, const Follow& follow) {
        const inventory::ReorderClass settings = m_inputs.classOf(part.part_class);
        const CalendarDate dead_before = summary.until.plusDays(-settings.dead_months * 365 / 12);
        IdleStock idle{part.code, need.line.what,   need.line.on_hand, need.line.on_hand, 0,
                       {},        follow.last_asked};
        const auto price = m_prices.find(part.code);
        if (price != m_prices.end()) idle.currency = price->second.currency;
        const auto value = [&] {
            return price == m_prices.end() ? 0 : worth(static_cast<double>(idle.beyond), price->second);
        };
        const bool old = follow.first_seen && *follow.first_seen <= dead_before;
        if (old && (!follow.last_asked || *follow.last_asked < dead_before)) {
            idle.value = value();
            summary.dead.push_back(idle);
            return;
        }
        constexpr int least_days = 13 * 7; // a younger part's demand is a guess
        const bool young = !follow.first_seen || *follow.first_seen > summary.until.plusDays(-least_days);
        if (young || need.line.weekly_demand <= 0) return;
        const double cover = std::max(need.line.weekly_demand * weeks_a_month * settings.cover_months,
                                      static_cast<double>(need.line.order_up_to));
        idle.beyond = static_cast<std::int64_t>(std::floor(static_cast<double>(need.line.on_hand) - cover));
        if (idle.beyond <= 0) return;
        idle.value = value();
        summary.overstock.push_back(idle);
    }

    const ReorderInputs& m_inputs;
    const Prices& m_prices;
    std::map<std::string, Follow> m_parts;
};

} // namespace

ReorderSummary reorderSummary(inventory::ShopFile& shop) {
    ReorderSummary result;
    shop.consistently([&] {
        const ReorderInputs inputs = readReorderInputs(shop);
        const Prices prices = piecePrices(shop);
        const CalendarDate until = inputs.made.date(), from = until.plusDays(-365);
        auto parts = followStock(shop, from, until);
        addStandIns(shop, prices, from, until.plusDays(1), parts);
        Summary summary(inputs, prices, std::move(parts));
        std::map<std::string, const inventory::Part*> catalogue;
        for (const auto& part : inputs.parts) catalogue[part.code] = &part;
        std::vector<std::string> notes;
        for (const PartNeed& need : partNeeds(inputs, notes))
            summary.take(need, *catalogue.at(need.line.part));
        result = summary.finish();
    });
    return result;
}

} // namespace shimledger::services
