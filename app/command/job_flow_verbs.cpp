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
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    mustBePart(shop, verb.part);
    if (verb.bin.empty() && !verb.part.empty())
        throw InputError("--part is of what lies in one bin: give its --bin too");
    const services::FlowStep step = verb.bin.empty()
                                        ? services::pullAll(shop, verb.job)
                                        : services::pullFromBin(shop, verb.job, verb.bin, verb.part);
    for (const std::string& sentence : step.sentences) streams.out << sentence << '\n';
    const auto rest = services::openPulls(shop, verb.job);
    if (rest.empty()) {
        streams.out << "All of " << verb.job << " is pulled.\n";
    } else {
        streams.out << rest.size() << " lines to go; next " << rest.front().reservation.bin << ": "
                    << rest.front().reservation.quantity << " of " << rest.front().reservation.part << " ("
                    << rest.front().what << ")\n";
    }
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
