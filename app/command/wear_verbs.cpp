// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/wear_inspection.h"
#include "planner/units/near_name.h"

#include <algorithm>
#include <ostream>

namespace shimledger::command {

namespace {

void tell(const std::vector<services::KitLine>& lines, const char* word, std::ostream& out) {
    for (const services::KitLine& line : lines) {
        out << word << ": " << line.quantity << (line.unit == "piece" ? "" : ' ' + line.unit) << " of "
            << line.part << " (" << line.what << "): " << line.reason << '\n';
    }
}

/// A place that the job has, or that the help names, and that a new one is nearly called like; else empty.
std::string nearPlace(inventory::ShopFile& shop, const WearVerb& verb) {
    std::vector<std::string> places{"chrome", "slider"};
    for (const services::InspectionLine& line : services::inspectionSheet(shop, verb.job))
        places.push_back(line.place);
    const bool known = std::find(places.begin(), places.end(), verb.place) != places.end();
    return known ? std::string() : nearName(verb.place, places);
}

} // namespace

int runWearShow(const WearVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    for (const services::InspectionLine& line : services::inspectionSheet(shop, verb.job)) {
        streams.out << (line.leg == 0 ? std::string("no leg") : "leg " + std::to_string(line.leg)) << "  "
                    << (line.part.empty() ? line.place : line.what + " (" + line.part + ")") << ": ";
        if (line.finding) {
            streams.out << inventory::wearDecisionName(line.finding->decision);
            if (!line.finding->reason.empty()) streams.out << " (" << line.finding->reason << ")";
        } else {
            streams.out << "not looked at";
        }
        if (!line.trend.empty()) streams.out << "; " << line.trend;
        streams.out << '\n';
    }
    return exit_done;
}

int runWearRecord(const WearVerb& verb, Streams& streams) {
    inventory::WearFinding finding;
    finding.job = verb.job;
    finding.leg = verb.leg;
    finding.part = verb.part;
    finding.place = verb.place;
    finding.worn_percent = verb.percent;
    finding.state = inventory::parseWearState(verb.state);
    const bool anything = verb.percent || !verb.state.empty() || !verb.decision.empty() ||
                          !verb.reason.empty() || !verb.note.empty();
    if (!anything)
        throw InputError("say what was found or decided: --state, --percent, --decision, --reason or --note");
    if (!verb.decision.empty()) finding.decision = inventory::parseWearDecision(verb.decision);
    finding.quantity = verb.quantity;
    finding.reason = verb.reason;
    finding.note = verb.note;
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    mustBePart(shop, verb.part);
    const std::string meant = nearPlace(shop, verb);
    inventory::WearBook(shop).record(finding);
    streams.out << "Written down for " << verb.job << ".\n";
    if (!meant.empty())
        streams.error << "Note: '" << verb.place << "' is a new place; did you mean '" << meant << "'?\n";
    return exit_done;
}

int runWearKit(const WearVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const services::JobKit kit =
        verb.apply ? services::applyKit(shop, verb.job) : services::jobKit(shop, verb.job);
    tell(kit.wanted, "Wanted", streams.out);
    tell(kit.deferred, "Deferred", streams.out);
    for (const std::string& sentence : kit.open) streams.out << "Open: " << sentence << '\n';
    if (verb.apply) streams.out << "The kit is now the list of consumables of " << verb.job << ".\n";
    return exit_done;
}

int runWearDeferred(const WearVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    const auto deferred = inventory::WearBook(shop).deferred();
    for (const inventory::DeferredPart& part : deferred) {
        streams.out << part.quantity << " of " << part.part << ", put off by";
        for (const std::string& job : part.jobs) streams.out << ' ' << job;
        streams.out << '\n';
    }
    if (deferred.empty()) streams.out << "Nothing has been put off.\n";
    return exit_done;
}

} // namespace shimledger::command
