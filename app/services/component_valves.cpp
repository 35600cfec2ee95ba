// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/component_valves.h"

#include "inventory/bin.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "inventory/job_end.h"
#include "inventory/job_valves.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace shimledger::services {

std::vector<inventory::Job> valvesOf(inventory::ShopFile& shop, std::string_view job) {
    std::vector<inventory::Job> valves = inventory::valvesWithin(shop, job);
    const inventory::JobStatus status = valves.front().status; // of the job itself
    std::erase_if(valves, [&](const inventory::Job& valve) {
        return hasEnded(valve.status) && valve.status != status;
    });
    return valves;
}

inventory::Job componentJob(inventory::ShopFile& shop, std::string_view job) {
    return inventory::componentValves(shop, job).front();
}

std::vector<inventory::Reservation> reservedForValves(inventory::ShopFile& shop, std::string_view job) {
    std::vector<inventory::Reservation> reserved;
    shop.consistently([&] {
        const inventory::StockLedger ledger(shop);
        const std::vector<inventory::Job> valves = valvesOf(shop, job);
        for (const inventory::Job& valve : valves) {
            const auto held = ledger.reservationsOf(valve.code);
            reserved.insert(reserved.end(), held.begin(), held.end());
        }
        if (valves.size() == 1) return; // they are in walking order
        std::map<std::string, std::int64_t> walking_order;
        const inventory::BinList bins(shop);
        for (const auto& held : reserved)
            if (!walking_order.contains(held.bin)) walking_order[held.bin] = bins.get(held.bin).walking_order;
        std::stable_sort(reserved.begin(), reserved.end(), [&](const auto& one, const auto& other) {
            return std::pair(walking_order[one.bin], one.bin) <
                   std::pair(walking_order[other.bin], other.bin);
        });
    });
    return reserved;
}

std::vector<std::string> addModelValves(inventory::ShopFile& shop, std::string_view job) {
    std::vector<std::string> added;
    shop.atomically([&] {
        const std::vector<inventory::Job> valves = inventory::componentValves(shop, job);
        const int legs = inventory::componentLegs(valves);
        for (const inventory::JobValve& valve :
             inventory::ComponentModels(shop).get(valves.front().model).valves) {
            const bool there = std::any_of(valves.begin(), valves.end(), [&](const inventory::Job& known) {
                return known.valve.name == valve.name && known.status != inventory::JobStatus::cancelled;
            });
            if (!there) added.push_back(inventory::addJobValve(shop, job, valve, 1, legs));
        }
    });
    return added;
}

std::string valveText(const std::string& name, int first_leg, int legs, int component_legs) {
    return legs == component_legs ? name : name + ", " + inventory::legsText(first_leg, legs);
}

std::string valveText(const inventory::Job& valve, int component_legs) {
    return valveText(valve.valve.name, valve.first_leg, valve.legs, component_legs);
}

std::vector<std::string> otherValves(inventory::ShopFile& shop, std::string_view job) {
    std::vector<std::string> others;
    const std::vector<inventory::Job> valves = inventory::componentValves(shop, job);
    const int legs = inventory::componentLegs(valves);
    for (const inventory::Job& valve : valves) {
        if (valve.code == job || valve.status == inventory::JobStatus::cancelled) continue;
        others.push_back(fmt::format("{}: {}, {}", valve.code, valveText(valve, legs),
                                     inventory::jobStatusName(valve.status)));
    }
    return others;
}

} // namespace shimledger::services
