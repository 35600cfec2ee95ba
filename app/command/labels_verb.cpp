#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/sheets/bin_label_sheet.h"

#include <ostream>

namespace shimledger::command {

int runLabels(const LabelsVerb& verb, Streams& streams) {
    const services::PaperSize paper = services::parsePaperSize(verb.paper);
    auto shop = openShop(verb.shop_file, streams);
    const auto labels = services::binLabels(shop, verb.bins, verb.cabinet);
    services::writeBinLabelSheet(labels, shop.now(), {verb.out_file, verb.force}, paper);
    streams.out << "Wrote " << verb.out_file << " with " << labels.size()
                << (labels.size() == 1 ? " label.\n" : " labels.\n");
    return exit_done;
}

} // namespace shimledger::command
