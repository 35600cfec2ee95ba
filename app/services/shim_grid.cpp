// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/shim_grid.h"

#include "app/services/own_data.h"
#include "inventory/bin.h"
#include "inventory/part_catalogue.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <set>

namespace shimledger::services {

namespace {

using inventory::Part;
using inventory::PartKind;

constexpr std::size_t most_lengths = 200; ///< of one side

bool isShimOf(const Part& part, Length bore) {
    return part.kind == PartKind::shim && part.od && part.thickness && part.id == bore;
}

/// What is written between blanks, semicolons or, where no comma of decimals can be meant, commas.
std::vector<std::string> wordsOf(const std::string& text) {
    std::vector<std::string> words(1);
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool digit_next = i + 1 < text.size() && text[i + 1] >= '0' && text[i + 1] <= '9';
        const bool parts = text[i] == ' ' || text[i] == ';' || text[i] == '\t' || text[i] == '\n' ||
                           (text[i] == ',' && !digit_next);
        if (!parts)
            words.back() += text[i];
        else if (!words.back().empty())
            words.emplace_back();
    }
    if (words.back().empty()) words.pop_back();
    return words;
}

/// "24,26" may be one size or two: nobody is made to find out afterwards which one it was taken for.
void refuseTwoMeanings(const std::string& word) {
    const std::size_t comma = word.find(',');
    constexpr std::size_t least_digits = 2; // "18,5" is no list: nothing has an OD of 5
    if (comma == std::string::npos || word.find_first_not_of("0123456789,") != std::string::npos) return;
    const std::string before = word.substr(0, comma), after = word.substr(comma + 1);
    if (before.find_first_not_of('0') == std::string::npos || after.size() < least_digits ||
        after[0] == '0' || after.find(',') != std::string::npos)
        return;
    throw InputError("'" + word + "' may be one size or two: write " + before + "." + after + ", or " +
                     before + " " + after);
}

Length sizeOf(const std::string& word, SizeUnit bare) {
    const Length length = typedLength(word, bare).length;
    if (length <= Length())
        throw InputError("'" + word + "' is no size: write it above 0, such as " +
                         (bare == SizeUnit::inches ? "0.945 or 24 mm" : "24 or 0.10"));
    return length;
}

/// Puts the unit of a series' last number behind those that have none: "10..30 mm".
std::string withUnitOf(const std::string& number, const std::string& last) {
    const std::size_t digits_end = last.find_last_of("0123456789.,");
    const bool has_unit = number.find_first_not_of("0123456789.,") != std::string::npos;
    return has_unit || digits_end == std::string::npos ? number : number + last.substr(digits_end + 1);
}

} // namespace

std::vector<Length> readLengths(const std::string& text, Length step, SizeUnit bare) {
    std::set<Length> lengths;
    std::string line;
    for (const std::string& word : wordsOf(text)) line += word + " ";
    const std::vector<SizeWord> words = sizeWords(line);
    refuseSharedUnit(words, bare);
    for (const SizeWord& size : words) {
        const std::string& word = size.text;
        const std::size_t dots = word.find("..");
        if (dots == std::string::npos) {
            refuseTwoMeanings(word);
            lengths.insert(sizeOf(word, bare));
            continue;
        }
        const std::size_t slash = word.find('/', dots);
        const std::string last = word.substr(dots + 2, slash == std::string::npos ? slash : slash - dots - 2);
        const std::string unit_from = slash == std::string::npos ? last : word.substr(slash + 1);
        const Length from = sizeOf(withUnitOf(word.substr(0, dots), unit_from), bare);
        const Length to = sizeOf(withUnitOf(last, unit_from), bare);
        const Length by = slash == std::string::npos ? step : sizeOf(word.substr(slash + 1), bare);
        if (to < from ||
            (to - from).micrometres() / by.micrometres() >= static_cast<std::int64_t>(most_lengths))
            throw InputError("'" + word + "' is no series: write it as " + typedForm(from, bare) + ".." +
                             typedForm(from + 4 * by, bare) + ", with at most " +
                             std::to_string(most_lengths) + " sizes");
        for (Length length = from; length <= to; length += by) lengths.insert(length);
    }
    if (lengths.size() > most_lengths)
        throw InputError("these are " + std::to_string(lengths.size()) +
                         " sizes: one side of the grid has at most " + std::to_string(most_lengths));
    return {lengths.begin(), lengths.end()};
}

std::vector<Length> shimBores(inventory::ShopFile& shop) {
    std::map<Length, int> sizes;
    for (const Part& part : inventory::PartCatalogue(shop).listKind(PartKind::shim)) {
        if (part.id && isShimOf(part, *part.id)) ++sizes[*part.id];
    }
    std::vector<Length> bores;
    for (const auto& [bore, count] : sizes) bores.push_back(bore);
    std::stable_sort(bores.begin(), bores.end(), [&](Length a, Length b) { return sizes[a] > sizes[b]; });
    return bores;
}

ShimGrid shimGrid(inventory::ShopFile& shop, Length bore, inventory::Condition condition) {
    ShimGrid grid;
    std::set<Length> ods, thicknesses;
    for (const Part& part : inventory::PartCatalogue(shop).listKind(PartKind::shim)) {
        if (!isShimOf(part, bore)) continue;
        ods.insert(*part.od);
        thicknesses.insert(*part.thickness);
    }
    grid.ods.assign(ods.begin(), ods.end());
    grid.thicknesses.assign(thicknesses.begin(), thicknesses.end());
    for (const inventory::StockLot& lot : inventory::stockSnapshot(shop, PartKind::shim).lots) {
        if (lot.id != bore || !lot.od || !lot.thickness || lot.condition != condition) continue;
        ShimGridStock& stock = grid.stock[{*lot.od, *lot.thickness}];
        stock.on_hand += lot.on_hand;
        if (std::find(stock.bins.begin(), stock.bins.end(), lot.bin) == stock.bins.end())
            stock.bins.push_back(lot.bin);
    }
    return grid;
}

std::map<ShimSize, std::string> binsOfCounts(inventory::ShopFile& shop, const ShimGridCounts& counts) {
    const ShimGrid grid = shimGrid(shop, counts.bore, counts.condition);
    // A size keeps the drawer in which it lies in the other condition.
    const ShimGrid other =
        shimGrid(shop, counts.bore,
                 counts.condition == inventory::Condition::fresh ? inventory::Condition::used
                                                                 : inventory::Condition::fresh);
    std::set<std::string> taken;
    for (const inventory::StockLot& lot : inventory::stockSnapshot(shop).lots) taken.insert(lot.bin);
    std::string next = counts.first_bin;
    std::map<ShimSize, std::string> bins;
    for (const auto& [size, count] : counts.counts) {
        const auto lies = grid.stock.find(size), beside = other.stock.find(size);
        if (lies != grid.stock.end() && lies->second.bins.size() > 1) {
            std::string names;
            for (const std::string& bin : lies->second.bins) names += (names.empty() ? "" : ", ") + bin;
            throw InputError("the shim " + size.od.text(1) + " x " + size.thickness.text(2) + " lies in " +
                             names + ": count it there, drawer by drawer (page Drawers, Count)");
        }
        if (lies != grid.stock.end()) {
            bins[size] = lies->second.bins.front();
        } else if (beside != other.stock.end() && beside->second.bins.size() == 1) {
            bins[size] = beside->second.bins.front();
        } else {
            if (counts.first_bin.empty())
                throw InputError("say in which drawer the new sizes go, such as A01");
            while (counts.one_bin_each && taken.contains(next)) next = inventory::nextBinCode(next);
            bins[size] = next;
            if (counts.one_bin_each) taken.insert(next);
        }
    }
    return bins;
}

ShimGridBooked countShimGrid(inventory::ShopFile& shop, const ShimGridCounts& counts) {
    if (counts.counts.empty()) throw InputError("nothing was counted: type a number of pieces into the grid");
    ShimGridBooked booked;
    // What lies where must not change between the look and the entry.
    shop.atomically([&] {
        inventory::PartCatalogue parts(shop);
        inventory::BinList bins(shop);
        constexpr std::int64_t step = 10;
        std::int64_t last_walk = 0;
        for (const inventory::Bin& bin : bins.list()) last_walk = std::max(last_walk, bin.walking_order);
        std::vector<inventory::MovementLine> lines;
        for (const auto& [size, bin] : binsOfCounts(shop, counts)) {
            std::optional<Part> part = parts.findShim(size.od, counts.bore, size.thickness);
            if (!part) {
                part = Part{};
                part->kind = PartKind::shim;
                part->od = size.od;
                part->id = counts.bore;
                part->thickness = size.thickness;
                part->code = addPart(shop, *part);
                ++booked.new_parts;
            }
            if (!bins.find(bin)) {
                bins.add({bin, counts.cabinet, last_walk += step, {}});
                ++booked.new_bins;
            }
            inventory::MovementLine line;
            line.kind = inventory::MovementKind::count;
            line.part = part->code;
            line.bin = bin;
            line.condition = counts.condition;
            line.quantity = counts.counts.at(size);
            line.reason = "counted in the grid of sizes";
            lines.push_back(std::move(line));
        }
        inventory::StockLedger(shop).post(lines);
        booked.sizes = static_cast<int>(lines.size());
    });
    return booked;
}

} // namespace shimledger::services
