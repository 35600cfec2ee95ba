// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/stock_flow.h"
#include "planner/units/input_error.h"

#include <ostream>

namespace shimledger::command {

namespace {

int tell(const std::string& job, const char* word, const services::EndedJob& ended, Streams& streams) {
    streams.out << job << " is " << word << ": " << ended.issued << " issued, " << ended.released
                << " released.\n";
    for (const std::string& note : ended.notes) streams.out << "Note: " << note << '\n';
    return exit_done;
}

} // namespace

int runPull(const FlowVerb& verb, Streams& streams) {
    if (verb.bin.empty() && (!verb.part.empty() || verb.used || verb.fresh))
        throw InputError("--part, --used and --new say what of a drawer is pulled: give --bin as well");
    if (verb.found && verb.bin.empty())
        throw InputError("--found says how many a drawer held: give --bin as well");
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    mustBePart(shop, verb.part);
    services::PullChoice choice{verb.part, {}, {}};
    if (verb.used != verb.fresh) {
        choice.condition = verb.used ? inventory::Condition::used : inventory::Condition::fresh;
    }
    const services::FlowStep step =
        verb.found         ? services::pullShort(shop, verb.job, verb.bin, choice, *verb.found,
                                                 "short: the drawer held " + std::to_string(*verb.found))
        : verb.bin.empty() ? services::pullAll(shop, verb.job)
                           : services::pullFromBin(shop, verb.job, verb.bin, choice);
    for (const std::string& sentence : step.sentences) streams.out << sentence << '\n';
    const auto rest = services::openPulls(shop, verb.job);
    if (rest.empty()) {
        streams.out << "All of " << verb.job << " is pulled.\n";
    } else {
        streams.out << rest.size() << " lines to go; next " << rest.front().reservation.bin << ": "
                    << rest.front().reservation.quantity << " of " << rest.front().reservation.part << " ("
                    << rest.front().what
                    << (rest.front().reservation.condition == inventory::Condition::used ? ", used" : "")
                    << ")\n";
    }
    return exit_done;
}

int runRelease(const FlowVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const services::ReleasedJob released = services::releaseJob(shop, verb.job, verb.reason);
    for (const std::string& sentence : released.step.sentences) streams.out << sentence << '\n';
    streams.out << (released.quantity == 0 ? "Nothing was reserved for " : "Nothing is reserved for ")
                << verb.job << (released.quantity == 0 ? ".\n" : " any more.\n");
    return exit_done;
}

int runJobClose(const FlowVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const auto rest =
        verb.issue_rest ? services::OpenReservations::issue : services::OpenReservations::release;
    return tell(verb.job, "closed", services::closeJob(shop, verb.job, rest), streams);
}

int runJobCancel(const FlowVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    return tell(verb.job, "cancelled", services::cancelJob(shop, verb.job, verb.reason), streams);
}

} // namespace shimledger::command
