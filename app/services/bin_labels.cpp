// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/bin_labels.h"

#include "inventory/bin.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/input_error.h"

#include <qrencode.h>

#include <algorithm>
#include <map>
#include <memory>
#include <stdexcept>

namespace shimledger::services {

namespace {

struct FreeQrCode {
    void operator()(QRcode* code) const { QRcode_free(code); }
};

std::vector<inventory::Bin> wantedBins(inventory::ShopFile& shop, const std::vector<std::string>& codes,
                                       const std::string& cabinet) {
    std::vector<inventory::Bin> bins;
    for (inventory::Bin& bin : inventory::BinList(shop).list()) {
        const bool named = codes.empty() || std::find(codes.begin(), codes.end(), bin.code) != codes.end();
        if (named && (cabinet.empty() || bin.cabinet == cabinet)) bins.push_back(std::move(bin));
    }
    for (const std::string& code : codes) {
        if (inventory::BinList(shop).get(code).retired)
            throw InputError("bin '" + code + "' is retired: bring it back before it gets a label");
    }
    if (bins.empty()) throw InputError("there is no bin to label: name bins or a cabinet that the shop has");
    return bins;
}

} // namespace

QrMark qrMark(std::string_view text) {
    constexpr std::size_t most_bytes = 200;
    if (text.empty() || text.size() > most_bytes) {
        throw InputError("a mark holds 1 to 200 bytes, not " + std::to_string(text.size()));
    }
    const std::unique_ptr<QRcode, FreeQrCode> code(QRcode_encodeData(
        static_cast<int>(text.size()), reinterpret_cast<const unsigned char*>(text.data()), 0, QR_ECLEVEL_M));
    if (!code) throw std::logic_error("a short text could not be made a QR code");
    QrMark mark;
    mark.side = static_cast<std::size_t>(code->width);
    for (std::size_t i = 0; i < mark.side * mark.side; ++i) mark.dark.push_back((code->data[i] & 1U) != 0);
    return mark;
}

std::vector<std::string> contentsWithin(const BinLabel& label, std::size_t letters_a_line,
                                        std::size_t most_lines) {
    std::vector<std::string> told;
    std::size_t lines = 0;
    for (const std::string& what : label.contents) {
        const std::size_t own = what.size() / letters_a_line + 1;
        const bool last = told.size() + 1 == label.contents.size();
        if (lines + own + (last ? 0 : 1) > most_lines) break; // "and 2 more" wants a line
        told.push_back(what);
        lines += own;
    }
    const std::size_t more = label.contents.size() - told.size();
    if (more > 0)
        told.push_back(told.empty() ? std::to_string(more) + " sizes or parts"
                                    : "and " + std::to_string(more) + " more");
    return told;
}

std::vector<BinLabel> binLabels(inventory::ShopFile& shop, const std::vector<std::string>& codes,
                                const std::string& cabinet) {
    std::vector<BinLabel> labels;
    shop.consistently([&] {
        const inventory::PartCatalogue catalogue(shop);
        std::map<std::string, std::vector<std::string>> contents;
        for (const auto& lot : inventory::stockSnapshot(shop).lots) {
            const std::string what = inventory::partText(catalogue.get(lot.part));
            auto& held = contents[lot.bin];
            if (std::find(held.begin(), held.end(), what) == held.end()) held.push_back(what);
        }
        for (const inventory::Bin& bin : wantedBins(shop, codes, cabinet)) {
            labels.push_back({bin.code, bin.cabinet, contents[bin.code], qrMark(bin.code)});
        }
    });
    return labels;
}

} // namespace shimledger::services
