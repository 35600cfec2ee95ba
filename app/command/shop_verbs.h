// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/command/verbs.h"
#include "app/services/stock_flow.h"
#include "inventory/job.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::command {

/// job open and job change: what is said of a job; empty where nothing is.
struct JobVerb {
    std::string shop_file, job, like, model, kind, description, valve, customer, component, note, due, target;
    std::string clamp_od, port_inner, port_outer, shim_id, seat, preload; ///< mm
    std::optional<int> legs, priority;
    bool all_valves = false; ///< of the model
};

struct FindVerb {
    std::string shop_file;
    std::vector<std::string> words;
    int most = 8;
    bool json = false;
};

struct HistoryVerb {
    std::string shop_file, what, code;
    bool json = false;
};

struct StripVerb {
    std::string shop_file, job, rows_file, out_file, paper = "a4";
    int leg = 1, other_leg = 2;
    std::vector<std::string> rows;
    double working_lift_mm = 0.30;
    bool force = false;
};

struct WearVerb {
    std::string shop_file, job, part, place, state, decision, reason, note;
    int leg = 1;
    std::optional<int> percent; ///< none: not said
    std::int64_t quantity = 1;
    bool apply = false;
};

struct ORingVerb {
    std::string shop_file, bore, rod, depth, width, size, depth_tolerance = "0", diameter_tolerance = "0";
    bool moving = false, json = false;
};

struct LabelsVerb {
    std::string shop_file, out_file, cabinet, paper = "a4";
    std::vector<std::string> bins;
    bool force = false;
};

struct CountVerb {
    std::string shop_file, out_file, in_file, cabinet, paper = "a4";
    bool preview = false, force = false, json = false;
};

/// Movements of pieces: stock receive, issue, return, scrap, move, undo, reading.
struct FlowVerb {
    std::string shop_file, order, part, bin, to_bin, job, reason;
    std::vector<std::string> readings; ///< mm
    std::int64_t quantity = 0, movement = 0;
    std::optional<std::int64_t> found; ///< fewer than wanted
    bool used = false, fresh = false, whole_batch = false, issue_rest = false;
};

/// What the options of one piece moved say.
[[nodiscard]] services::PieceMove pieceOf(const FlowVerb& verb);

int runFind(const FindVerb& verb, Streams& streams);
int runHistory(const HistoryVerb& verb, Streams& streams);
int runStripRecord(const StripVerb& verb, Streams& streams);
int runStripShow(const StripVerb& verb, Streams& streams);
int runStripForm(const StripVerb& verb, Streams& streams);
int runStripCompare(const StripVerb& verb, Streams& streams);
int runStripPutAway(const StripVerb& verb, Streams& streams);
int runWearShow(const WearVerb& verb, Streams& streams);
int runWearRecord(const WearVerb& verb, Streams& streams);
int runWearKit(const WearVerb& verb, Streams& streams);
int runWearDeferred(const WearVerb& verb, Streams& streams);
int runORing(const ORingVerb& verb, Streams& streams);
int runLabels(const LabelsVerb& verb, Streams& streams);
int runStockCount(const CountVerb& verb, Streams& streams);
int runReceive(const FlowVerb& verb, Streams& streams);
int runExpected(const FlowVerb& verb, Streams& streams);
int runIssue(const FlowVerb& verb, Streams& streams);
int runReturn(const FlowVerb& verb, Streams& streams);
int runScrap(const FlowVerb& verb, Streams& streams);
int runMove(const FlowVerb& verb, Streams& streams);
int runUndo(const FlowVerb& verb, Streams& streams);
int runReading(const FlowVerb& verb, Streams& streams);
int runPull(const FlowVerb& verb, Streams& streams);
int runRelease(const FlowVerb& verb, Streams& streams);
/// What the options of a valve's sizes say; "none" takes a size away that may be missing.
void takeValve(const JobVerb& verb, inventory::JobValve& valve);

int runJobOpen(const JobVerb& verb, Streams& streams);
int runJobChange(const JobVerb& verb, Streams& streams);
int runJobClose(const FlowVerb& verb, Streams& streams);
int runJobCancel(const FlowVerb& verb, Streams& streams);

} // namespace shimledger::command
