// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/order_rhythm.h"

#include "app/services/keeping.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace shimledger::services {

namespace {

constexpr double weeks_a_year = 52;
constexpr std::array<int, 4> multiples{1, 2, 4, 8};
constexpr int longest_review = 63; ///< days; beyond nine weeks nobody remembers

/// What one supplier's parts cost a week under one review period.
struct Sum {
    double cost = 0;
    double no_order = 1; ///< chance that a look finds nothing to order
};

/// One supplier's parts, under each review period.
struct Account {
    OrderRhythm rhythm;
    std::array<Sum, multiples.size()> sums;
};

void addPart(Account& account, const inventory::Part& part, const planner::DemandForecast& forecast,
             const inventory::ReorderClass& settings, const inventory::SupplierPart& offer,
             const inventory::Supplier& supplier, int nearest_days, inventory::Hundredths waiting_day) {
    std::array<Keeping, multiples.size()> keepings;
    const bool once = supplier.freight.value_or(0) <= 0; // nothing to share
    for (std::size_t i = 0; i < multiples.size() && !(once && i > 0); ++i) {
        keepings[i] =
            keepingOf(forecast, part, settings, offer, supplier,
                      account.rhythm.usual_review_days * multiples[i], nearest_days, waiting_day, true);
    }
    if (!keepings[0].worth_it) return;
    ++account.rhythm.parts;
    for (std::size_t i = 0; i < multiples.size() && !(once && i > 0); ++i) {
        const double weeks = account.rhythm.usual_review_days * multiples[i] / 7.0;
        account.sums[i].cost += keepings[i].policy.cost;
        account.sums[i].no_order *= std::max(0.0, 1 - keepings[i].policy.orders * weeks);
    }
}

void choose(Account& account, double freight) {
    OrderRhythm& rhythm = account.rhythm;
    for (std::size_t i = 0; i < multiples.size(); ++i) {
        const int days = rhythm.usual_review_days * multiples[i];
        if (i > 0 && (!(freight > 0) || days > longest_review)) break;
        const double orders = weeks_a_year * 7 / days * (1 - account.sums[i].no_order);
        const auto cost = static_cast<inventory::Hundredths>(
            std::llround(orders * freight + account.sums[i].cost * weeks_a_year));
        if (i == 0) {
            rhythm.usual_orders_a_year = orders;
            rhythm.usual_yearly_cost = cost;
        } else if (cost >= rhythm.yearly_cost) {
            continue;
        }
        rhythm.review_days = days;
        rhythm.orders_a_year = orders;
        rhythm.yearly_cost = cost;
    }
}

} // namespace

bool isKept(const inventory::Part& part, const DemandBook& demand) {
    return part.reorder_point && !demand.unknown(part.code) && demand.of(part.code).jobs > 0;
}

std::map<std::string, OrderRhythm> orderRhythms(const ReorderInputs& inputs, const DemandBook& demand,
                                                const OfferBook& offers) {
    std::map<std::string, Account> accounts;
    for (const auto& [name, supplier] : offers.suppliers) {
        Account& account = accounts[name];
        account.rhythm.supplier = name;
        account.rhythm.currency = supplier.currency;
        account.rhythm.usual_review_days = std::max(1, inputs.classOf("").review_days);
    }
    struct Kept {
        const inventory::Part* part = nullptr;
        UsableOffers usable;
    };
    std::vector<Kept> kept;
    std::map<std::string, int>
        usual_days; // the most frequent look that a class of the supplier's parts asks for
    for (const auto& part : inputs.parts) {
        if (!isKept(part, demand)) continue;
        UsableOffers usable = usableOffers(part.code, offers.of(part.code), offers.suppliers);
        if (usable.offers.empty()) continue;
        const std::string& supplier = usualOffer(usable.offers, offers.suppliers).supplier;
        const int days = std::max(1, inputs.classOf(part.part_class).review_days);
        const auto known = usual_days.try_emplace(supplier, days).first;
        known->second = std::min(known->second, days);
        kept.push_back({&part, std::move(usable)});
    }
    for (const auto& [supplier, days] : usual_days) accounts[supplier].rhythm.usual_review_days = days;
    for (const Kept& one : kept) {
        const auto& offer = usualOffer(one.usable.offers, offers.suppliers);
        try {
            addPart(accounts[offer.supplier], *one.part, demand.of(one.part->code),
                    inputs.classOf(one.part->part_class), offer, offers.suppliers.at(offer.supplier),
                    nearestDays(one.usable.offers, offers.suppliers), inputs.waiting_day);
        } catch (const InputError&) { // told where the part's own need is worked out
            continue;
        }
    }
    std::map<std::string, OrderRhythm> rhythms;
    for (auto& [name, account] : accounts) {
        choose(account, static_cast<double>(offers.suppliers.at(name).freight.value_or(0)));
        OrderRhythm& rhythm = account.rhythm;
        if (const auto last = inputs.last_orders.find(name); last != inputs.last_orders.end()) {
            rhythm.last_order = last->second;
            const auto next = last->second.plusDays(rhythm.review_days);
            // As often as somebody looks anyway, there is nothing to wait for.
            if (rhythm.review_days > rhythm.usual_review_days && next > inputs.made.date()) {
                rhythm.next_order = next;
            }
        }
        rhythms.emplace(name, rhythm);
    }
    return rhythms;
}

} // namespace shimledger::services
