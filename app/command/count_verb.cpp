#include "app/command/known_names.h"
#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/count_sheet.h"
#include "app/services/sheets/count_sheet_sheet.h"
#include "inventory/csv_writer.h"
#include "planner/units/input_error.h"

#include <ostream>
#include <sstream>

namespace shimledger::command {

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
    std::istringstream text(readFile(verb.in_file));
    const auto lines = services::readCountCsv(text, verb.in_file);
    const services::CountReview review =
        verb.preview ? services::reviewCount(shop, lines) : services::postCount(shop, lines);
    for (const services::CountDifference& found : review.differences) streams.out << found.sentence << '\n';
    for (const std::string& sentence : review.by_reason) streams.out << sentence << '\n';
    streams.out << review.counted << " counted, " << review.differences.size()
                << (verb.preview ? " would be corrected.\n" : " corrected.\n");
    return exit_done;
}

} // namespace shimledger::command
