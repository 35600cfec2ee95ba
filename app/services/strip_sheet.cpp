// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/strip_sheet.h"

#include "app/services/parts_finder.h"
#include "inventory/bin.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_history.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace shimledger::services {

namespace {

using inventory::StripRow;

/// The catalogue shims that a row may be, by the finder's tolerances and ties; the job's bore stands in for
/// the ID.
void identify(inventory::ShopFile& shop, const inventory::Job& job, StripLine& line) {
    StripRow& row = line.row;
    if (row.part.empty() && line.mean) {
        const PartSearch search = findParts(shop, "shim " + row.od.text(3) + " x " +
                                                      job.valve.shim_id.text(3) + " x " + line.mean->text(3));
        const bool found = !search.matches.empty() && search.matches[0].within_tolerance;
        if (found && !search.matches[0].tied) {
            row.part = search.matches[0].part;
        } else {
            line.candidates = search.verdict;
        }
    }
    if (!row.part.empty()) line.what = inventory::partText(inventory::PartCatalogue(shop).get(row.part));
}

/// A row that is no shim of the shop, but would be one if a digit had slipped or it had been read in inches,
/// is not written down: it would count as discs that nobody knows.
void refuseSlips(inventory::ShopFile& shop, const inventory::Job& job, const std::vector<StripLine>& lines) {
    constexpr double od_off_mm = 0.3, thickness_off = 0.1; // of a worn disc; the second is a share
    struct Slip {
        double factor;
        const char* words;
    };
    constexpr Slip slips[] = {{10, "ten times"}, {0.1, "a tenth of"}, {1 / 25.4, "in inches"}};
    const auto shims = inventory::PartCatalogue(shop).listKind(inventory::PartKind::shim);
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (!lines[i].row.part.empty() || !lines[i].mean) continue;
        const double read = lines[i].mean->millimetres();
        const auto isLike = [&](const inventory::Part& shim, double factor) {
            const double off_od = shim.od->millimetres() - lines[i].row.od.millimetres();
            const double nominal = factor * shim.thickness->millimetres();
            return *shim.id == job.valve.shim_id && std::abs(off_od) <= od_off_mm &&
                   std::abs(read - nominal) <= thickness_off * nominal;
        };
        if (std::any_of(shims.begin(), shims.end(), [&](const auto& shim) { return isLike(shim, 1); }))
            continue;
        for (const Slip& slip : slips) {
            const auto meant = std::find_if(shims.begin(), shims.end(),
                                            [&](const auto& shim) { return isLike(shim, slip.factor); });
            if (meant == shims.end()) continue;
            throw InputError("row " + std::to_string(i + 1) + " reads " + lines[i].mean->text(3) +
                             " mm, which is " + slip.words + " " + inventory::partText(*meant) +
                             ": has a digit slipped, or was it read in inches?");
        }
    }
}

/// Where the good discs go: with others of the part, used ones first.
std::string drawerOf(const std::vector<inventory::StockLot>& lots, const std::string& part) {
    for (const auto condition : {inventory::Condition::used, inventory::Condition::fresh}) {
        for (const auto& lot : lots) {
            if (lot.part == part && lot.condition == condition && !lot.bin_retired) return lot.bin;
        }
    }
    return {};
}

void tellNewOnes(inventory::ShopFile& shop, std::vector<PutAwayLine>& lines) {
    std::set<std::string> parts;
    for (const PutAwayLine& line : lines) parts.insert(line.part);
    const auto lots = inventory::stockSnapshotOf(shop, {parts.begin(), parts.end()}).lots;
    for (PutAwayLine& line : lines) {
        const auto holds = [&](inventory::Condition condition) {
            return std::any_of(lots.begin(), lots.end(), [&](const inventory::StockLot& lot) {
                return lot.part == line.part && lot.bin == line.bin && lot.condition == condition;
            });
        };
        line.among_new = holds(inventory::Condition::fresh) && !holds(inventory::Condition::used);
    }
}

StripView viewOf(inventory::ShopFile& shop, const inventory::StripSheet& sheet) {
    StripView view{sheet.job, sheet.leg, {}};
    const inventory::PartCatalogue catalogue(shop);
    std::set<std::string> parts;
    for (const StripRow& row : sheet.rows) {
        if (!row.part.empty()) parts.insert(row.part);
    }
    const auto lots = inventory::stockSnapshotOf(shop, {parts.begin(), parts.end()}).lots;
    for (const StripRow& row : sheet.rows) {
        StripLine line;
        line.row = row;
        line.mean = inventory::meanReading(row);
        if (!row.part.empty()) line.what = inventory::partText(catalogue.get(row.part));
        line.drawer_named = !row.bin.empty() && row.bin != drawerOf(lots, row.part);
        view.lines.push_back(std::move(line));
    }
    return view;
}

} // namespace

StripView identifyStrip(inventory::ShopFile& shop, std::string_view code, int leg,
                        std::vector<StripRow> rows) {
    StripView view{std::string(code), leg, {}};
    shop.consistently([&] {
        const inventory::Job job = inventory::JobBook(shop).get(code);
        const auto lots = inventory::stockSnapshot(shop, inventory::PartKind::shim).lots;
        for (StripRow& row : rows) {
            StripLine line;
            line.row = std::move(row);
            line.mean = inventory::meanReading(line.row);
            identify(shop, job, line);
            if (line.row.bin.empty() && !line.row.part.empty() && line.row.good() > 0) {
                line.row.bin = drawerOf(lots, line.row.part);
            }
            view.lines.push_back(std::move(line));
        }
    });
    return view;
}

StripView recordStrip(inventory::ShopFile& shop, std::string_view job, int leg, std::vector<StripRow> rows) {
    StripView view;
    shop.atomically([&] {
        view = identifyStrip(shop, job, leg, std::move(rows));
        refuseSlips(shop, inventory::JobBook(shop).get(job), view.lines);
        inventory::StripSheet sheet{std::string(job), leg, {}, {}};
        for (const StripLine& line : view.lines) sheet.rows.push_back(line.row);
        inventory::StripRecords(shop).set(sheet);
    });
    return view;
}

std::vector<StripView> stripSheets(inventory::ShopFile& shop, std::string_view job) {
    std::vector<StripView> views;
    shop.consistently([&] {
        for (const auto& sheet : inventory::StripRecords(shop).ofJob(job))
            views.push_back(viewOf(shop, sheet));
    });
    return views;
}

PutAway putAwayList(inventory::ShopFile& shop, std::string_view job) {
    PutAway away;
    shop.consistently([&] {
        // What has come back to the job as used, part by part: what was put away before.
        std::map<std::string, std::int64_t> back;
        for (const auto& entry : inventory::StockHistory(shop).ofJob(job)) {
            const bool counts = entry.kind == inventory::MovementKind::returned && !entry.reversed_by &&
                                entry.condition == inventory::Condition::used;
            if (counts) back[entry.part] += entry.quantity;
        }
        for (const StripView& view : stripSheets(shop, job)) {
            for (std::size_t i = 0; i < view.lines.size(); ++i) {
                const StripRow& row = view.lines[i].row;
                const std::string where =
                    "leg " + std::to_string(view.leg) + ", row " + std::to_string(i + 1);
                if (row.scrap > 0) {
                    away.left_out.push_back(where + ": " + std::to_string(row.scrap) + " scrap (" +
                                            row.scrap_reason + ")");
                }
                if (row.part.empty()) {
                    away.left_out.push_back(where + ": " + std::to_string(row.good()) + " not identified");
                    continue;
                }
                std::int64_t& before = back[row.part];
                const std::int64_t done = std::min(before, row.good());
                before -= done;
                if (row.good() == done) continue;
                const auto same =
                    std::find_if(away.lines.begin(), away.lines.end(), [&](const PutAwayLine& line) {
                        return line.part == row.part && line.bin == row.bin;
                    });
                if (same != away.lines.end()) {
                    same->quantity += row.good() - done;
                } else {
                    away.lines.push_back({row.part, view.lines[i].what, row.bin, row.good() - done});
                }
            }
        }
        tellNewOnes(shop, away.lines);
        std::map<std::string, std::int64_t> place;
        for (const auto& bin : inventory::BinList(shop).list(inventory::Retired::included))
            place[bin.code] = bin.walking_order;
        std::stable_sort(
            away.lines.begin(), away.lines.end(),
            [&](const PutAwayLine& a, const PutAwayLine& b) { return place[a.bin] < place[b.bin]; });
    });
    return away;
}

inventory::PostedBatch putAway(inventory::ShopFile& shop, std::string_view code) {
    inventory::PostedBatch batch;
    shop.atomically([&] {
        const inventory::Job job = inventory::JobBook(shop).get(code);
        if (job.status == inventory::JobStatus::open || job.status == inventory::JobStatus::reserved) {
            throw InputError(
                "job '" + job.code +
                "' is not built yet: its new discs are pulled first, then the reclaimed ones go back");
        }
        const PutAway away = putAwayList(shop, code);
        if (away.lines.empty())
            throw InputError("nothing of the strip of job '" + job.code + "' is left to put away");
        std::vector<inventory::MovementLine> lines;
        for (const PutAwayLine& back : away.lines) {
            if (back.bin.empty()) {
                throw InputError("no drawer is named for " + back.part + " (" + back.what +
                                 "): say in its row of the strip where it goes, such as 4 23.9 0.148 > F07");
            }
            inventory::MovementLine line;
            line.kind = inventory::MovementKind::returned;
            line.part = back.part;
            line.bin = back.bin;
            line.condition = inventory::Condition::used;
            line.quantity = back.quantity;
            line.job = code;
            line.reason = "reclaimed at the strip";
            lines.push_back(std::move(line));
        }
        batch = inventory::StockLedger(shop).post(lines);
    });
    return batch;
}

} // namespace shimledger::services
