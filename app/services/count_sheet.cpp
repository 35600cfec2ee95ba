#include "app/services/count_sheet.h"

#include "inventory/bin.h"
#include "inventory/csv_writer.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <map>
#include <set>
#include <tuple>
#include <utility>

namespace shimledger::services {

namespace {

using LotName = std::tuple<std::string, std::string, inventory::Condition>;

LotName nameOf(const CountLine& line) {
    return {line.bin, line.part, line.condition};
}

std::string lotText(const CountLine& line) {
    return line.bin + ", " + (line.what.empty() ? line.part : line.what) + " (" +
           std::string(inventory::conditionName(line.condition)) + ")";
}

struct Books {
    std::int64_t on_hand = 0;
    std::string promised; ///< "2 reserved for J1"
};

/// Of the parts that were counted: counting drawer by drawer asks for one at a time.
std::map<LotName, Books> booksOf(inventory::ShopFile& shop, const std::vector<CountLine>& lines) {
    std::set<std::string> parts;
    for (const CountLine& line : lines) parts.insert(line.part);
    std::map<LotName, Books> books;
    for (const auto& lot : inventory::stockSnapshotOf(shop, {parts.begin(), parts.end()}).lots)
        books[{lot.bin, lot.part, lot.condition}].on_hand = lot.on_hand;
    for (const auto& reservation : inventory::StockLedger(shop).reservations()) {
        std::string& promised = books[{reservation.bin, reservation.part, reservation.condition}].promised;
        promised += (promised.empty() ? "" : ", ") + std::to_string(reservation.quantity) + " reserved for " +
                    reservation.job;
    }
    return books;
}

CountDifference differenceOf(const CountLine& line) {
    CountDifference found{line, *line.counted - line.books, {}};
    const std::int64_t by = found.difference < 0 ? -found.difference : found.difference;
    found.sentence = lotText(line) + ": " + std::to_string(line.books) + " in the books, " +
                     std::to_string(*line.counted) + " counted, " + std::to_string(by) +
                     (found.difference < 0 ? " fewer" : " more") +
                     (line.reason.empty() ? "" : " (" + line.reason + ")");
    return found;
}

std::vector<std::string> summary(const std::vector<CountDifference>& differences) {
    struct Sum {
        std::int64_t fewer = 0, more = 0, lots = 0;
    };
    std::map<std::string, Sum> sums;
    for (const CountDifference& found : differences) {
        Sum& sum = sums[found.line.reason.empty() ? "no reason given" : found.line.reason];
        (found.difference < 0 ? sum.fewer : sum.more) +=
            found.difference < 0 ? -found.difference : found.difference;
        ++sum.lots;
    }
    std::vector<std::string> sentences;
    for (const auto& [reason, sum] : sums) {
        std::string text = reason + ":";
        if (sum.fewer > 0) text += " " + std::to_string(sum.fewer) + " fewer";
        if (sum.more > 0) text += (sum.fewer > 0 ? ", " : " ") + std::to_string(sum.more) + " more";
        sentences.push_back(text + " in " + std::to_string(sum.lots) + (sum.lots == 1 ? " lot" : " lots"));
    }
    return sentences;
}

} // namespace

CountSheet countSheet(inventory::ShopFile& shop, const std::string& cabinet) {
    CountSheet sheet;
    sheet.made = shop.now();
    sheet.cabinet = cabinet;
    shop.consistently([&] {
        std::set<std::string> bins;
        for (const auto& bin : inventory::BinList(shop).list()) {
            if (cabinet.empty() || bin.cabinet == cabinet) bins.insert(bin.code);
        }
        if (bins.empty()) {
            throw InputError(cabinet.empty() ? "the shop has no bins yet"
                                             : "there is no cabinet '" + cabinet.substr(0, 60) + "'");
        }
        const inventory::PartCatalogue catalogue(shop);
        for (const auto& lot : inventory::stockSnapshot(shop).lots) {
            if (!bins.contains(lot.bin)) continue;
            const inventory::Part part = catalogue.get(lot.part);
            CountLine line;
            line.bin = lot.bin;
            line.part = lot.part;
            line.what = inventory::partText(part);
            line.condition = lot.condition;
            line.unit = std::string(inventory::quantityUnitName(part.unit));
            line.books = lot.on_hand;
            sheet.lines.push_back(std::move(line));
        }
    });
    return sheet;
}

void writeCountCsv(const CountSheet& sheet, std::ostream& out) {
    inventory::CsvWriter csv(out);
    csv.row({"bin", "part", "what", "condition", "unit", "books", "counted", "reason"});
    for (const CountLine& line : sheet.lines) {
        csv.row({line.bin, line.part, line.what, std::string(inventory::conditionName(line.condition)),
                 line.unit, std::to_string(line.books), inventory::csvWhole(line.counted), line.reason});
    }
}

CountReview examineCount(inventory::ShopFile& shop, const std::vector<CountLine>& lines) {
    CountReview review;
    const auto note = [&](std::string sentence) { review.faults.push_back(std::move(sentence)); };
    shop.consistently([&] {
        const auto books = booksOf(shop, lines);
        const inventory::PartCatalogue catalogue(shop);
        const inventory::BinList bins(shop);
        std::set<LotName> seen;
        for (const CountLine& line : lines) {
            if (!line.counted) continue;
            ++review.counted;
            if (!bins.find(line.bin)) {
                note(lotText(line) + ": there is no bin " + line.bin.substr(0, 60));
                continue;
            }
            if (!catalogue.find(line.part)) {
                note(lotText(line) + ": there is no part " + line.part.substr(0, 60));
                continue;
            }
            if (!seen.insert(nameOf(line)).second) {
                note(lotText(line) + ": counted twice");
                continue;
            }
            const auto held = books.find(nameOf(line));
            const auto [now, promised] = held == books.end() ? Books{} : held->second;
            if (now == *line.counted) continue; // true already, as when a sheet is posted twice
            if (now != line.books) {
                note(lotText(line) + ": counted " + std::to_string(*line.counted) + ", the books had " +
                     std::to_string(line.books) + " when the sheet was made and have " + std::to_string(now) +
                     " now: count it again");
                continue;
            }
            if (!promised.empty()) { // they may lie in the job's tray already
                note(lotText(line) + ": counted " + std::to_string(*line.counted) + ", the books have " +
                     std::to_string(now) + ", " + promised + "; pull or release first");
                continue;
            }
            if (*line.counted != line.books) review.differences.push_back(differenceOf(line));
        }
    });
    review.by_reason = summary(review.differences);
    return review;
}

CountReview reviewCount(inventory::ShopFile& shop, const std::vector<CountLine>& lines) {
    CountReview review = examineCount(shop, lines);
    if (!review.faults.empty()) throw InputError(fmt::format("{}", fmt::join(review.faults, "\n")));
    return review;
}

CountReview postCount(inventory::ShopFile& shop, const std::vector<CountLine>& lines) {
    CountReview review;
    shop.atomically([&] {
        review = reviewCount(shop, lines);
        std::vector<inventory::MovementLine> movements;
        for (const CountDifference& found : review.differences) {
            inventory::MovementLine movement;
            movement.kind = inventory::MovementKind::count;
            movement.part = found.line.part;
            movement.bin = found.line.bin;
            movement.condition = found.line.condition;
            movement.quantity = *found.line.counted;
            movement.reason = found.line.reason.empty() ? "count sheet" : found.line.reason;
            movements.push_back(std::move(movement));
        }
        if (!movements.empty()) inventory::StockLedger(shop).post(movements);
    });
    return review;
}

} // namespace shimledger::services
