// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/price_book.h"

#include <stdexcept>
#include <tuple>

namespace shimledger::services {

namespace {

using inventory::MasterChange;
using inventory::SupplierPart;
using inventory::UtcTime;

/// An offer as it stood at the moment: what was changed later is changed back, the latest first.
SupplierPart asItStood(SupplierPart offer, const std::vector<MasterChange>& changes, UtcTime moment) {
    for (auto change = changes.rbegin(); change != changes.rend(); ++change) {
        if (change->utc <= moment || change->about.supplier != offer.supplier ||
            change->about.pack_size != offer.pack_size)
            continue;
        if (change->field == "pack_price") offer.pack_price = inventory::parseMoney(change->before);
        if (change->field == "retired") offer.retired = change->before == "yes";
        if (change->field == "priced_on") {
            offer.priced_on.reset();
            if (!change->before.empty()) offer.priced_on = inventory::CalendarDate::parse(change->before);
        }
    }
    return offer;
}

/// Dated later, else cheaper by the piece, else by name and pack, so that one offer is always the answer.
bool isBetter(const SupplierPart& a, const SupplierPart& b) {
    if (a.priced_on != b.priced_on) return a.priced_on > b.priced_on;
    const std::int64_t a_cost = a.pack_price * b.pack_size, b_cost = b.pack_price * a.pack_size;
    if (a_cost != b_cost) return a_cost < b_cost;
    return std::tie(a.supplier, a.pack_size) < std::tie(b.supplier, b.pack_size);
}

} // namespace

std::string_view priceSourceName(PriceSource source) {
    switch (source) {
    case PriceSource::paid:
        return "paid";
    case PriceSource::offered:
        return "offered";
    case PriceSource::used:
        return "used";
    case PriceSource::unknown:
        return "unknown";
    }
    throw std::logic_error("a source of prices has no name");
}

inventory::Hundredths PartPrice::of(std::int64_t quantity) const {
    if (!known()) return 0;
    const bool below = quantity < 0; // a clock that jumped back can leave such a day
    if (below) quantity = -quantity;
    const std::int64_t whole = quantity / pack_size * pack_price;
    const std::int64_t rest = (2 * (quantity % pack_size) * pack_price + pack_size) / (2 * pack_size);
    return below ? -(whole + rest) : whole + rest;
}

std::string PartPrice::text() const {
    if (source == PriceSource::used) return "used";
    if (!known()) return "no price known";
    std::string text = inventory::moneyText(pack_price) + " " + currency + " for " +
                       std::to_string(pack_size) +
                       (source == PriceSource::paid ? ", paid to " : ", offered by ") + supplier;
    if (day) text += " on " + day->text();
    return text;
}

PriceBook::PriceBook(inventory::ShopFile& shop) : m_paid(inventory::paidPrices(shop)) {
    const inventory::SupplierList suppliers(shop);
    for (const auto& supplier : suppliers.list(inventory::Retired::included))
        m_currencies[supplier.name] = supplier.currency;
    for (SupplierPart& offer : suppliers.offers(inventory::Retired::included))
        m_offers[offer.part].push_back(std::move(offer));
    inventory::MasterHistory(shop).forEach([&](const MasterChange& change) {
        if (change.about.kind == inventory::MasterKind::offer && change.item.empty())
            m_changes[change.about.part].push_back(change);
    });
}

PartPrice PriceBook::at(const std::string& part, inventory::Condition condition, UtcTime moment) const {
    PartPrice price;
    if (condition == inventory::Condition::used) {
        price.source = PriceSource::used;
        return price;
    }
    const inventory::PaidPrice* last = nullptr;
    if (const auto known = m_paid.find(part); known != m_paid.end()) {
        for (const inventory::PaidPrice& paid : known->second) {
            const bool undone = paid.undone && *paid.undone <= moment;
            if (paid.received <= moment && !undone && (last == nullptr || paid.received >= last->received))
                last = &paid;
        }
    }
    if (last != nullptr)
        return {PriceSource::paid, last->pack_price, last->pack_size,
                last->currency,    last->supplier,   last->received.date()};
    if (const auto offer = offered(part, moment)) return *offer;
    return price;
}

std::optional<PartPrice> PriceBook::offered(const std::string& part, UtcTime moment) const {
    const auto offers = m_offers.find(part);
    if (offers == m_offers.end()) return std::nullopt;
    static const std::vector<MasterChange> none;
    const auto changes = m_changes.find(part);
    std::optional<SupplierPart> best;
    for (const SupplierPart& offer : offers->second) {
        const SupplierPart then =
            asItStood(offer, changes == m_changes.end() ? none : changes->second, moment);
        const bool later = then.priced_on && *then.priced_on > moment.date();
        if (then.retired || later) continue;
        if (!best || isBetter(then, *best)) best = then;
    }
    if (!best) return std::nullopt;
    return PartPrice{PriceSource::offered, best->pack_price, best->pack_size, m_currencies.at(best->supplier),
                     best->supplier,       best->priced_on};
}

const std::vector<std::string>& PriceBook::method() {
    static const std::vector<std::string> sentences = {
        "Each piece counts at the last price paid up to that moment: that of the order whose delivery came "
        "last, without freight.",
        "A part that had not come by an order until then counts at the offer dated last, as it stood at that "
        "moment, of offers dated alike the least for a piece; that is marked.",
        "Used pieces, which came out of components, count as nothing; so does a part without any price, "
        "which "
        "is named.",
        "A line is its pieces times price over pack size, to the nearest hundredth; sums are of lines, and "
        "currencies are not converted. Days end at midnight UTC.",
    };
    return sentences;
}

std::string moneySumText(const Money& sums) {
    std::string text;
    for (const auto& [currency, amount] : sums)
        text += (text.empty() ? "" : " + ") + inventory::moneyText(amount) + " " + currency;
    return text.empty() ? "0" : text;
}

} // namespace shimledger::services
