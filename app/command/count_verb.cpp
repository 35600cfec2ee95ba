// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/count_sheet.h"
#include "app/services/sheets/count_sheet_sheet.h"
#include "inventory/csv_writer.h"
#include "inventory/part_kinds.h"
#include "planner/units/input_error.h"

#include <nlohmann/json.hpp>

#include <ostream>
#include <sstream>

namespace shimledger::command {

namespace {

void tell(const services::CountReview& review, bool preview, std::ostream& out) {
    for (const services::CountDifference& found : review.differences) out << found.sentence << '\n';
    for (const std::string& sentence : review.by_reason) out << sentence << '\n';
    for (const std::string& sentence : review.shortSentences()) out << sentence << ".\n";
    out << review.counted << " counted, " << review.differences.size()
        << (preview ? " would be corrected.\n" : " corrected.\n");
}

std::string countJson(const services::CountReview& review, bool preview) {
    nlohmann::json root = {{"counted", review.counted},
                           {"posted", !preview},
                           {"differences", nlohmann::json::array()},
                           {"jobs_left_short", nlohmann::json::array()}};
    for (const services::CountDifference& found : review.differences) {
        root["differences"].push_back({{"bin", found.line.bin},
                                       {"part", found.line.part},
                                       {"condition", inventory::conditionName(found.line.condition)},
                                       {"books", found.line.books},
                                       {"counted", *found.line.counted},
                                       {"laid_aside", found.line.laid_aside},
                                       {"difference", found.difference},
                                       {"reason", found.line.reason}});
    }
    for (const services::JobLeftShort& left : review.left_short) {
        nlohmann::json lost = nlohmann::json::array();
        for (const inventory::Reservation& line : left.lost) {
            lost.push_back({{"bin", line.bin},
                            {"part", line.part},
                            {"condition", inventory::conditionName(line.condition)},
                            {"wanted_part", line.wanted_part.empty() ? line.part : line.wanted_part},
                            {"quantity", line.quantity}});
        }
        root["jobs_left_short"].push_back(
            {{"job", left.job}, {"lost", std::move(lost)}, {"sentence", left.sentence}});
    }
    return root.dump(2) + "\n";
}

} // namespace

int runStockCount(const CountVerb& verb, Streams& streams) {
    if (verb.out_file.empty() == verb.in_file.empty())
        throw InputError("give either --out FILE for a count sheet or --in FILE for a filled-in one");
    if (verb.in_file.empty() && verb.preview)
        throw InputError("--preview is of a filled-in sheet: it goes with --in FILE");
    if (!verb.in_file.empty() && !verb.cabinet.empty())
        throw InputError("--cabinet is of a sheet to write: it goes with --out FILE");
    const services::PaperSize paper = services::parsePaperSize(verb.paper);
    auto shop = openShop(verb.shop_file, streams);
    if (!verb.out_file.empty()) {
        mustBeCabinet(shop, verb.cabinet);
        const services::CountSheet sheet = services::countSheet(shop, verb.cabinet);
        if (verb.out_file.ends_with(".xlsx")) {
            services::writeCountSheet(sheet, {verb.out_file, verb.force}, paper);
        } else {
            inventory::writeCsvFile({verb.out_file, verb.force},
                                    [&](std::ostream& out) { services::writeCountCsv(sheet, out); });
        }
        streams.out << "Wrote " << verb.out_file << " with " << sheet.lines.size() << " lines to count.\n";
        return exit_done;
    }
    const auto lines = services::readCountSheet(verb.in_file);
    const services::CountReview review =
        verb.preview ? services::reviewCount(shop, lines) : services::postCount(shop, lines);
    if (verb.json) {
        streams.out << countJson(review, verb.preview);
    } else {
        tell(review, verb.preview, streams.out);
    }
    return exit_done;
}

} // namespace shimledger::command
