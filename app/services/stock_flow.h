// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/part.h"
#include "inventory/shop_file.h"
#include "inventory/stock_ledger.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// What one step did, for a message: "8 of SH-24.0-6-0.12 were pulled from A02 for JOB-1002."
struct FlowStep {
    inventory::PostedBatch batch;
    std::vector<std::string> sentences;
};

/// A job's code stands for all valves of its component here, that of another valve for that one alone
/// (component_valves.h).

/// What of the job's pick list is still to be pulled, in walking order.
struct PullLine {
    inventory::Reservation reservation;
    std::string what;
};
[[nodiscard]] std::vector<PullLine> openPulls(inventory::ShopFile& shop, std::string_view job);

/// Which lines of a drawer are pulled; what is not said does not matter.
struct PullChoice {
    std::string part{};
    std::optional<inventory::Condition> condition{};
    std::optional<std::string> wanted_part{}; ///< empty: those that stand in for no other part
    std::string valve{};                      ///< code of the job that is meant among the component's valves
};

/// Pulls from the drawer that was scanned: everything reserved for the job there that is of the choice.
/// Throws InputError when nothing of the job is reserved in that drawer (and says where the next pull is).
FlowStep pullFromBin(inventory::ShopFile& shop, std::string_view job, std::string_view scanned_bin,
                     const PullChoice& choice = {});
/// Where a drawer holds fewer than it has promised to the job: those found are pulled, the others promised to
/// nobody any more, in one batch. Throws InputError where all of them were found, or where nothing is
/// reserved there.
FlowStep pullShort(inventory::ShopFile& shop, std::string_view job, std::string_view scanned_bin,
                   const PullChoice& choice, std::int64_t found, const std::string& reason);
/// Pulls all that is still reserved.
FlowStep pullAll(inventory::ShopFile& shop, std::string_view job);

/// A movement of pieces that no plan knows of. Bins may be scanned.
struct PieceMove {
    std::string part;
    std::string bin;
    std::int64_t quantity = 0;
    inventory::Condition condition = inventory::Condition::fresh;
    std::string job{};    ///< issue, return, scrap: may be given
    std::string to_bin{}; ///< move
    std::string reason{};
};
FlowStep receivePieces(inventory::ShopFile& shop, const PieceMove& move); ///< without an order
FlowStep issuePieces(inventory::ShopFile& shop, const PieceMove& move);
FlowStep returnPieces(inventory::ShopFile& shop, const PieceMove& move);
FlowStep scrapPieces(inventory::ShopFile& shop, const PieceMove& move); ///< a reason is needed
FlowStep movePieces(inventory::ShopFile& shop, const PieceMove& move);

/// Undoes one movement, or the whole batch that it belongs to, by reverse movements. A reason is needed.
FlowStep undoMovement(inventory::ShopFile& shop, std::int64_t movement, bool whole_batch,
                      std::string_view reason);

/// Gives back everything that is reserved for the job; nothing is posted where nothing is.
struct ReleasedJob {
    std::int64_t quantity = 0;
    FlowStep step;
};
ReleasedJob releaseJob(inventory::ShopFile& shop, std::string_view job, std::string_view reason = {});

/// What happens to pieces that are still reserved when a job ends.
enum class OpenReservations { release, issue };
struct EndedJob {
    std::int64_t released = 0;
    std::int64_t issued = 0;
    std::vector<std::string> notes; ///< sentences: discs that are neither built in nor in a drawer
};
/// Ends the job; touches exactly what is reserved for it. Throws InputError when it has ended already.
EndedJob closeJob(inventory::ShopFile& shop, std::string_view job, OpenReservations rest);
EndedJob cancelJob(inventory::ShopFile& shop, std::string_view job, std::string_view reason);

} // namespace shimledger::services
