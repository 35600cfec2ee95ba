// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/scan.h"

#include "app/services/near_thing.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <cctype>
#include <string>
#include <vector>

namespace shimledger::services {

namespace {

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view blanks = " \t\r\n";
    const std::size_t first = text.find_first_not_of(blanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

bool sameLetters(std::string_view a, std::string_view b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](unsigned char x, unsigned char y) {
        return x < 128 && y < 128 ? std::tolower(x) == std::tolower(y) : x == y;
    });
}

} // namespace

inventory::Bin binOfScan(inventory::ShopFile& shop, std::string_view typed) {
    const std::string code(trimmed(typed));
    if (code.empty()) throw InputError("no bin was scanned: scan the label of a drawer or type its code");
    const inventory::BinList bins(shop);
    if (auto bin = bins.find(code)) return *bin;
    std::vector<inventory::Bin> alike;
    // Also those that are retired: what lies there is taken out and counted.
    const std::vector<inventory::Bin> all = bins.list(inventory::Retired::included);
    for (const inventory::Bin& bin : all) {
        if (sameLetters(bin.code, code)) alike.push_back(bin);
    }
    if (alike.size() > 1) std::erase_if(alike, [](const inventory::Bin& bin) { return bin.retired; });
    if (alike.size() == 1) return alike.front();
    std::string read = "'" + code.substr(0, 60) + "'";
    std::replace_if(
        read.begin(), read.end(), [](unsigned char c) { return c < 0x20; }, ' ');
    if (alike.empty()) {
        throw InputError(
            "there is no bin " + read +
            nearThingText(code, all, &inventory::Bin::code, "scan the label of a drawer or type its code"));
    }
    throw InputError("the bins '" + alike[0].code + "' and '" + alike[1].code + "' differ from " + read +
                     " in capitals only: type the code exactly");
}

} // namespace shimledger::services
