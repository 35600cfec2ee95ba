// SPDX-License-Identifier: GPL-3.0-or-later
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
    std::int64_t reserved = 0;
};

/// Of the parts that were counted: counting drawer by drawer asks for one at a time.
std::map<LotName, Books> booksOf(inventory::ShopFile& shop, const std::vector<CountLine>& lines) {
    std::set<std::string> parts;
    for (const CountLine& line : lines) parts.insert(line.part);
    std::map<LotName, Books> books;
    for (const auto& lot : inventory::stockSnapshotOf(shop, {parts.begin(), parts.end()}).lots)
        books[{lot.bin, lot.part, lot.condition}] = {lot.on_hand, lot.reserved};
    return books;
}

CountDifference differenceOf(const CountLine& line) {
    CountDifference found{line, line.found() - line.books, {}};
    const std::int64_t by = found.difference < 0 ? -found.difference : found.difference;
    found.sentence = lotText(line) + ": " + std::to_string(line.books) + " in the books, " +
                     std::to_string(*line.counted) + " counted, " +
                     (line.laid_aside > 0 ? std::to_string(line.laid_aside) + " laid aside, " : "") +
                     std::to_string(by) + (found.difference < 0 ? " fewer" : " more") +
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

/// What the differences take from jobs, by job.
std::vector<JobLeftShort> jobsLeftShort(inventory::ShopFile& shop,
                                        const std::vector<CountDifference>& differences) {
    std::map<std::string, JobLeftShort> by_job;
    const inventory::StockLedger ledger(shop);
    for (const CountDifference& found : differences) {
        const CountLine& line = found.line;
        for (auto& lost : ledger.lostByCount(line.part, line.bin, line.condition, line.found())) {
            JobLeftShort& left = by_job[lost.job];
            left.job = lost.job;
            left.sentence += (left.lost.empty() ? lost.job + " is left short: " : std::string(", ")) +
                             std::to_string(lost.quantity) + " of " + lost.part +
                             (lost.condition == inventory::Condition::used ? " (used)" : "") + " in " +
                             lost.bin;
            left.lost.push_back(std::move(lost));
        }
    }
    std::vector<JobLeftShort> jobs;
    for (auto& [code, left] : by_job) jobs.push_back(std::move(left));
    return jobs;
}

} // namespace

std::vector<std::string> CountReview::shortSentences() const {
    std::vector<std::string> sentences;
    for (const JobLeftShort& left : left_short) sentences.push_back(left.sentence);
    if (!sentences.empty()) {
        sentences.emplace_back(
            "The least urgent job loses first, of those alike the one due last, then the one "
            "reserved last; plan such a job again, or release it");
    }
    return sentences;
}

CountSheet countSheet(inventory::ShopFile& shop, const std::string& cabinet) {
    CountSheet sheet;
    sheet.made = shop.now();
    sheet.cabinet = cabinet;
    shop.consistently([&] {
        std::set<std::string> bins;
        for (const auto& bin : inventory::BinList(shop).list(inventory::Retired::included)) {
            if (cabinet.empty() || bin.cabinet == cabinet) bins.insert(bin.code);
        }
        if (bins.empty()) {
            throw InputError(cabinet.empty() ? "the shop has no bins yet"
                                             : "there is no cabinet '" + cabinet.substr(0, 60) + "'");
        }
        const inventory::PartCatalogue catalogue(shop);
        std::map<LotName, std::map<std::string, std::int64_t>> held; // by job: it may hold a lot for two rows
        for (const auto& reservation : inventory::StockLedger(shop).reservations())
            held[{reservation.bin, reservation.part, reservation.condition}][reservation.job] +=
                reservation.quantity;
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
            for (const auto& [job, quantity] : held[nameOf(line)]) {
                line.reserved +=
                    (line.reserved.empty() ? "" : ", ") + std::to_string(quantity) + " for " + job;
            }
            sheet.lines.push_back(std::move(line));
        }
    });
    return sheet;
}

void writeCountCsv(const CountSheet& sheet, std::ostream& out) {
    inventory::CsvWriter csv(out);
    csv.row(
        {"bin", "part", "what", "condition", "unit", "books", "reserved", "laid_aside", "counted", "reason"});
    for (const CountLine& line : sheet.lines) {
        csv.row({line.bin, line.part, line.what, std::string(inventory::conditionName(line.condition)),
                 line.unit, std::to_string(line.books), line.reserved,
                 line.laid_aside > 0 ? std::to_string(line.laid_aside) : "",
                 inventory::csvWhole(line.counted), line.reason});
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
            const auto [now, reserved] = held == books.end() ? Books{} : held->second;
            const std::string counted =
                std::to_string(*line.counted) +
                (line.laid_aside > 0 ? " and " + std::to_string(line.laid_aside) + " laid aside" : "");
            if (line.laid_aside > reserved) {
                note(lotText(line) + ": " + std::to_string(line.laid_aside) +
                     " said to lie in a job's tray, but " + std::to_string(reserved) + " reserved");
                continue;
            }
            if (now == line.found()) continue; // true already, as when a sheet is posted twice
            if (now != line.books) {
                note(lotText(line) + ": counted " + counted + ", the books had " +
                     std::to_string(line.books) + " when the sheet was made and have " + std::to_string(now) +
                     " now: count it again");
                continue;
            }
            review.differences.push_back(differenceOf(line));
        }
        review.left_short = jobsLeftShort(shop, review.differences);
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
            movement.quantity = found.line.found();
            movement.reason = found.line.reason.empty() ? "count sheet" : found.line.reason;
            if (found.line.laid_aside > 0)
                movement.reason += ", " + std::to_string(found.line.laid_aside) + " of them laid aside";
            movements.push_back(std::move(movement));
        }
        if (!movements.empty()) inventory::StockLedger(shop).post(movements);
    });
    return review;
}

} // namespace shimledger::services
