// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/sheets/bin_label_sheet.h"
#include "inventory/bin.h"
#include "planner/units/input_error.h"

#include <ostream>

namespace shimledger::command {

int runLabels(const LabelsVerb& verb, Streams& streams) {
    const services::PaperSize paper = services::parsePaperSize(verb.paper);
    auto shop = openShop(verb.shop_file, streams);
    mustBeCabinet(shop, verb.cabinet);
    const std::vector<std::string> bins = binCodes(shop, verb.bins);
    for (const std::string& code : bins) {
        const inventory::Bin bin = inventory::BinList(shop).get(code);
        if (!verb.cabinet.empty() && bin.cabinet != verb.cabinet) {
            throw InputError("bin '" + code + "' is not in cabinet '" + verb.cabinet + "' but in '" +
                             bin.cabinet + "': leave --cabinet away to label it");
        }
    }
    const auto labels = services::binLabels(shop, bins, verb.cabinet);
    services::writeBinLabelSheet(labels, shop.now(), {verb.out_file, verb.force}, paper);
    streams.out << "Wrote " << verb.out_file << " with " << labels.size()
                << (labels.size() == 1 ? " label.\n" : " labels.\n");
    return exit_done;
}

} // namespace shimledger::command
