// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/parts_finder.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <ostream>

namespace shimledger::command {

namespace {

nlohmann::json matchJson(const services::PartMatch& match) {
    nlohmann::json sizes = nlohmann::json::array();
    for (const services::SizeDifference& size : match.sizes) {
        sizes.push_back({{"size", size.noun},
                         {"nominal_mm", size.nominal.millimetres()},
                         {"difference_mm", size.difference().millimetres()}});
    }
    return {{"part", match.part},
            {"what", match.what},
            {"standard", match.standard},
            {"sizes", sizes},
            {"distance", match.distance},
            {"within_tolerance", match.within_tolerance},
            {"equally_likely", match.tied},
            {"available", match.available},
            {"bins", match.bins}};
}

} // namespace

int runFind(const FindVerb& verb, Streams& streams) {
    if (verb.most < 1) throw InputError("--most must be 1 or more");
    std::string text;
    for (const std::string& word : verb.words) text += (text.empty() ? "" : " ") + word;
    auto shop = openShop(verb.shop_file, streams);
    const services::PartSearch search = services::findParts(shop, text, static_cast<std::size_t>(verb.most));
    if (verb.json) {
        nlohmann::json root = {{"verdict", search.verdict}, {"matches", nlohmann::json::array()}};
        for (const services::PartMatch& match : search.matches) root["matches"].push_back(matchJson(match));
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    streams.out << search.verdict << '\n';
    for (const services::PartMatch& match : search.matches) {
        streams.out << fmt::format(
            "{} {:<32} {:<22} {:<24} {}\n",
            match.tied               ? '='
            : match.within_tolerance ? '*'
                                     : ' ',
            match.what, match.part.empty() ? "(not in the catalogue)" : match.part, match.standard,
            match.differenceText() + (match.available > 0
                                          ? fmt::format("; {} available in {}", match.available, match.bins)
                                          : std::string()));
    }
    streams.out << "* within what measuring may be off by, = equally likely\n";
    return exit_done;
}

} // namespace shimledger::command
