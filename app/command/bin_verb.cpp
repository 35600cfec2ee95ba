// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/master_fields_typed.h"
#include "app/command/verb_support.h"

#include "app/services/own_data.h"
#include "app/services/scan.h"
#include "inventory/bin.h"
#include "inventory/stock_snapshot.h"

#include <fmt/format.h>

#include <algorithm>

namespace shimledger::command {

namespace {

using inventory::Bin;

/// The bins that are meant by one code, as scanned or typed, or by a series of them.
std::vector<std::string> binsMeant(inventory::ShopFile& shop, const std::string& typed) {
    if (inventory::BinList(shop).find(typed)) return {typed};
    return binCodes(shop, inventory::binSeries(typed));
}

std::string seriesText(const std::vector<std::string>& codes) {
    return codes.size() == 1
               ? "Bin " + codes.front() + " is"
               : fmt::format("Bins {} to {} ({}) are", codes.front(), codes.back(), codes.size());
}

} // namespace

int runBinAdd(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    Bin bin;
    takeValues(bin, verb);
    const std::vector<std::string> codes = services::addBins(shop, verb.bin, bin);
    streams.out << seriesText(codes) << " there"
                << (bin.cabinet.empty() ? std::string() : ", in cabinet " + bin.cabinet) << ".\n";
    return exit_done;
}

int runBinChange(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    std::vector<inventory::MasterChange> changes;
    shop.atomically([&] {
        inventory::BinList bins(shop);
        for (const std::string& code : binsMeant(shop, verb.bin)) {
            Bin bin = bins.get(code);
            if (!takeValues(bin, verb)) throw nothingTyped<Bin>();
            for (auto& change : bins.update(bin)) changes.push_back(std::move(change));
        }
    });
    tellChanges(changes, streams.out);
    return exit_done;
}

int runBinRetire(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    std::vector<inventory::MasterChange> changes;
    shop.atomically([&] {
        for (const std::string& code : binsMeant(shop, verb.bin))
            changes.push_back(inventory::BinList(shop).retire(code));
    });
    tellChanges(changes, streams.out);
    for (const auto& lot : inventory::stockSnapshot(shop).lots) {
        const bool is_one = std::any_of(changes.begin(), changes.end(),
                                        [&](const auto& change) { return change.about.bin == lot.bin; });
        if (is_one)
            streams.out << fmt::format(
                "  {} of {}{} still in {}: they can be taken out, moved and counted.\n", lot.on_hand,
                lot.part, lot.condition == inventory::Condition::used ? " (used)" : "", lot.bin);
    }
    return exit_done;
}

int runBinBringBack(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    std::vector<inventory::MasterChange> changes;
    shop.atomically([&] {
        for (const std::string& code : binsMeant(shop, verb.bin))
            changes.push_back(inventory::BinList(shop).bringBack(code));
    });
    tellChanges(changes, streams.out);
    return exit_done;
}

int runBinList(const MasterVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    std::string cabinet;
    if (const auto typed = verb.values.find("cabinet"); typed != verb.values.end()) cabinet = typed->second;
    mustBeCabinet(shop, cabinet);
    auto bins = inventory::BinList(shop).list(verb.retired ? inventory::Retired::included
                                                           : inventory::Retired::leftOut);
    std::erase_if(bins, [&](const Bin& bin) { return !cabinet.empty() && bin.cabinet != cabinet; });
    if (verb.json) {
        nlohmann::json root = nlohmann::json::array();
        for (const Bin& bin : bins) {
            nlohmann::json object{{"bin", bin.code}};
            addFields(object, bin);
            root.push_back(std::move(object));
        }
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    for (const Bin& bin : bins) {
        streams.out << fmt::format("{:<16} {:<16} {:>8}  {}{}\n", bin.code, bin.cabinet, bin.walking_order,
                                   bin.retired ? "retired  " : "", bin.note);
    }
    if (bins.empty()) streams.out << "There are none.\n";
    return exit_done;
}

} // namespace shimledger::command
