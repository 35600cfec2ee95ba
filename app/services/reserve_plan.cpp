// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/reserve_plan.h"

#include "app/services/job_needs.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/stack_try.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <stdexcept>

namespace shimledger::services {

namespace {

using inventory::ReservationLine;

/// So many discs of one size, for one purpose.
struct DiscDemand {
    Length od;
    Length thickness;
    std::string wanted_part; ///< empty: the disc itself
    std::int64_t quantity = 0;
};

/// Rows that are as in the target come first: where a size serves both, the drawers' first discs are theirs.
std::vector<DiscDemand> discDemands(inventory::ShopFile& shop, const planner::StackSpec& target, int legs,
                                    const planner::SubstituteProposal& proposal) {
    const auto shims = inventory::PartCatalogue(shop).listKind(inventory::PartKind::shim);
    std::vector<DiscDemand> demands;
    for (const bool replacing : {false, true}) {
        for (const planner::ProposalRow& row : proposal.rows) {
            if (row.replaces != replacing) continue;
            DiscDemand demand{
                row.row.od, row.row.thickness, {}, static_cast<std::int64_t>(row.row.count) * legs};
            if (row.replaces) {
                const planner::DiscRow& wanted = target.rows().at(static_cast<std::size_t>(row.target_row));
                const auto codes = shimParts(shims, wanted.od, target.valve().shim_id, wanted.thickness);
                if (!codes.empty()) demand.wanted_part = codes.front();
            }
            demands.push_back(std::move(demand));
        }
    }
    return demands;
}

/// The same part, drawer, condition and purpose may come up for several rows: one line for them all.
void addLine(std::vector<ReservationLine>& lines, ReservationLine line) {
    const auto same = std::find_if(lines.begin(), lines.end(), [&](const ReservationLine& other) {
        return other.part == line.part && other.bin == line.bin && other.condition == line.condition &&
               other.wanted_part == line.wanted_part;
    });
    if (same == lines.end()) {
        lines.push_back(std::move(line));
    } else {
        same->quantity += line.quantity;
    }
}

std::vector<ReservationLine> discLines(std::vector<DiscDemand> demands,
                                       const planner::SubstituteProposal& proposal) {
    std::vector<ReservationLine> lines;
    for (const planner::Pull& pull : proposal.pulls) {
        std::int64_t rest = pull.quantity;
        for (DiscDemand& demand : demands) {
            if (demand.od != pull.od || demand.thickness != pull.thickness || demand.quantity == 0) continue;
            const std::int64_t taken = std::min(rest, demand.quantity);
            if (taken == 0) continue;
            ReservationLine line;
            line.part = pull.part;
            line.bin = pull.bin;
            line.condition = pull.used ? inventory::Condition::used : inventory::Condition::fresh;
            line.quantity = taken;
            if (demand.wanted_part != pull.part) line.wanted_part = demand.wanted_part;
            addLine(lines, std::move(line));
            demand.quantity -= taken;
            rest -= taken;
        }
        if (rest != 0) throw std::logic_error("a proposal pulls discs that none of its rows has");
    }
    for (const DiscDemand& demand : demands) {
        if (demand.quantity != 0) throw std::logic_error("a proposal has rows that it pulls no discs for");
    }
    return lines;
}

std::vector<ReservationLine> consumableLines(inventory::ShopFile& shop, std::string_view job,
                                             ReservedPlan& reserved) {
    std::vector<ReservationLine> lines;
    const inventory::StockSnapshot snapshot = inventory::stockSnapshot(shop);
    for (const ConsumableNeed& need : consumableNeeds(shop, job)) {
        std::int64_t rest = need.open();
        for (const auto& lot : snapshot.lots) {
            if (lot.part != need.part.code || lot.condition != inventory::Condition::fresh) continue;
            const std::int64_t taken = std::min(rest, lot.available());
            if (taken <= 0) continue;
            addLine(lines, {lot.part, lot.bin, inventory::Condition::fresh, taken, {}});
            reserved.consumables[need.part.unit] += taken;
            rest -= taken;
        }
        if (rest > 0) reserved.missing.push_back(quantityText(rest, need.part) + " is missing");
    }
    return lines;
}

[[noreturn]] void overtaken(const std::string& job, const std::string& what) {
    throw inventory::StockChanged("the plan for job '" + job + "' was overtaken: " + what);
}

/// That a drawer can still give its discs is the ledger's to see; here is what it does not know of: readings,
/// which are in the plan's curve, and what the rules keep back.
void checkDrawers(inventory::ShopFile& shop, const std::string& job,
                  const planner::SubstituteProposal& proposal, const planner::SubstituteRules& rules) {
    const auto lots = inventory::stockSnapshot(shop, inventory::PartKind::shim).lots;
    const auto left_alone = [&rules](const std::string& bin) {
        return std::find(rules.bins_left_alone.begin(), rules.bins_left_alone.end(), bin) !=
               rules.bins_left_alone.end();
    };
    for (const planner::Pull& pull : proposal.pulls) {
        std::int64_t left = 0;
        for (const planner::Pull& other : proposal.pulls) {
            if (other.od == pull.od && other.thickness == pull.thickness) left -= other.quantity;
        }
        std::optional<Length> id;
        for (const auto& lot : lots) {
            if (lot.part != pull.part) continue;
            id = lot.id;
            if (lot.bin != pull.bin || (lot.condition == inventory::Condition::used) != pull.used) continue;
            const auto measured = lot.measured ? std::optional(lot.measured->mean) : std::nullopt;
            if (measured != pull.measured)
                overtaken(job, "the discs of " + pull.part + " in " + pull.bin + " were measured anew");
        }
        for (const auto& lot : lots) {
            if (lot.od == pull.od && lot.thickness == pull.thickness && lot.id == id && !left_alone(lot.bin))
                left += lot.available();
        }
        if (rules.keep_in_stock > 0 && left < rules.keep_in_stock) {
            overtaken(job, std::to_string(std::max<std::int64_t>(left, 0)) + " discs of the size of " +
                               pull.part + " would be left, and the rules keep " +
                               std::to_string(rules.keep_in_stock));
        }
    }
}

inventory::JobStack buildStack(const planner::SubstituteProposal& proposal) {
    inventory::JobStack build;
    build.role = inventory::StackRole::build;
    build.clamp_od = proposal.clamp_od;
    for (const planner::ProposalRow& row : proposal.rows) {
        inventory::StackRow stored;
        stored.count = row.row.count;
        stored.od = row.row.od;
        stored.thickness = row.row.thickness;
        if (row.replaces) stored.replaces = row.target_row + 1;
        build.rows.push_back(stored);
    }
    return build;
}

/// So that the build sheet, and the next strip of the component, can say what was wished of it.
void keepWish(inventory::ShopFile& shop, const std::string& job, const inventory::JobStack& build,
              const PlannedFrom& from) {
    inventory::StackTries tries(shop);
    inventory::StackTry accepted{job,
                                 tries.freeName(job, "Build"),
                                 from.rules.wanted.text(),
                                 inventory::TryUse::build,
                                 {},
                                 from.made_by,
                                 shop.now(),
                                 build.rows,
                                 build.clamp_od};
    for (inventory::StackRow& row : accepted.rows) row.replaces.reset();
    tries.add(accepted);
}

} // namespace

std::string ReservedPlan::consumablesText() const {
    std::string text;
    for (const auto& [unit, quantity] : consumables) {
        const bool pieces = unit == inventory::QuantityUnit::piece;
        text += (text.empty() ? "" : " and ") + std::to_string(quantity) + " " +
                std::string(inventory::quantityUnitName(unit)) + (pieces && quantity != 1 ? "s" : "");
    }
    return (text.empty() ? "no" : text + " of") + " consumables";
}

ReservedPlan reservePlan(inventory::ShopFile& shop, const JobPlan& plan, std::size_t proposal_index,
                         std::string_view made_by) {
    if (proposal_index >= plan.result.proposals.size()) {
        throw InputError("there is no proposal " + std::to_string(proposal_index + 1) + " for " + plan.job +
                         ": the search found " + std::to_string(plan.result.proposals.size()));
    }
    return reserveProposal(shop, plan.job, *plan.request.target, plan.request.legs,
                           plan.result.proposals[proposal_index],
                           {plan.revision, plan.asked, plan.request.rules, std::string(made_by)});
}

ReservedPlan reserveProposal(inventory::ShopFile& shop, const std::string& job,
                             const planner::StackSpec& target, int legs,
                             const planner::SubstituteProposal& proposal, const PlannedFrom& from) {
    ReservedPlan reserved;
    shop.atomically([&] {
        inventory::StockLedger ledger(shop);
        const JobAsk now = jobAsk(shop, job);
        if (const std::string changed = whatChanged(from.asked, now); !changed.empty())
            overtaken(job, changed);
        if (now.held) {
            throw InputError(job + " holds reservations already: release them before another stack is "
                                   "accepted");
        }
        if (ledger.revision() != from.revision) checkDrawers(shop, job, proposal, from.rules);
        std::vector<ReservationLine> lines = discLines(discDemands(shop, target, legs, proposal), proposal);
        for (const ReservationLine& line : lines) reserved.discs += line.quantity;
        for (ReservationLine& line : consumableLines(shop, job, reserved)) lines.push_back(std::move(line));
        const inventory::JobStack build = buildStack(proposal);
        inventory::JobBook(shop).setStack(job, build);
        if (!from.rules.wanted.changesNothing()) keepWish(shop, job, build, from);
        reserved.batch = ledger.reserve(job, lines, from.revision);
    });
    return reserved;
}

std::optional<std::size_t> proposalOfSameStack(const std::vector<planner::SubstituteProposal>& proposals,
                                               const planner::SubstituteProposal& picked) {
    const auto same_row = [](const planner::ProposalRow& a, const planner::ProposalRow& b) {
        return a.row.count == b.row.count && a.row.od == b.row.od && a.row.thickness == b.row.thickness &&
               a.target_row == b.target_row && a.replaces == b.replaces;
    };
    for (std::size_t i = 0; i < proposals.size(); ++i) {
        if (std::equal(proposals[i].rows.begin(), proposals[i].rows.end(), picked.rows.begin(),
                       picked.rows.end(), same_row))
            return i;
    }
    return std::nullopt;
}

PlannedAndReserved planAndReserve(inventory::ShopFile& shop, const std::string& job,
                                  const SearchSettings& settings, std::size_t proposal,
                                  std::string_view made_by) {
    PlannedAndReserved done;
    done.overtaken = planAndBook([&] { done.plan = planJob(shop, job, settings); },
                                 [&] {
                                     if (done.plan.result.proposals.empty()) return;
                                     done.reserved = reservePlan(shop, done.plan, proposal, made_by);
                                 });
    return done;
}

} // namespace shimledger::services
