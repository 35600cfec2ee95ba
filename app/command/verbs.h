// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/wish_advice.h"
#include "planner/mechanics/disc_friction.h"

#include <cstdint>
#include <iosfwd>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::command {

/// How the program ends. Said once more in its help.
enum ExitCode {
    exit_done = 0,
    exit_fault = 1, ///< of the disk, the file or the program
    exit_bad_input = 2,
    exit_impossible = 3, ///< proved
    exit_limit = 4,      ///< a limit came first, or others at work twice
};

/// Where a verb reads and writes; tests hand in string streams.
struct Streams {
    std::ostream& out;
    std::ostream& error;
};

struct DemoVerb {
    std::string folder, catalog, paper = "a4";
};

struct LiftVerb {
    std::string stack_file, model = "large";
    std::vector<double> pressures_mpa;
    double working_lift_mm = 0.30;
    std::string tolerance = "precision";
    double friction = planner::usual_friction_coefficient; ///< between the discs; 0: none
    bool friction_given = false;
    bool json = false;
};

struct DampingVerb {
    std::string stack_file, against_file, measured_file;
    std::string shop_file, job;
    int proposal = 0; ///< 1-based, of a search for the job; 0: what was accepted or built
    std::vector<double> speeds_m_s;
    std::vector<std::string> fit; ///< discharge, bleed
    bool keep_fit = false;        ///< with the job's component model
    bool json = false;
};

struct SubstituteVerb {
    std::string stack_file, stock_file, shop_file, job;
    std::optional<int> legs;                ///< of STACK.json; a job knows its own
    std::map<std::string, bool> rule_flags; ///< by name, see planner::searchRules()
    std::map<std::string, std::string> rule_texts;
    std::string made_by;        ///< of reserve: who wishes it
    bool lift_is_asked = false; ///< --working-lift was given
    std::map<std::string, std::vector<std::string>> rule_words;
    int accept = 0;           ///< reserve verb: 1-based proposal
    bool all_jobs = false;    ///< all open jobs of the shop against one stock
    bool all_valves = false;  ///< all open valves of the job's component against one stock
    double plan_seconds = 60; ///< for all searches of all jobs
    double near_percent =
        100 * services::near_a_wish; ///< of a wanted curve: where nothing is as near, what would help is told
    bool json = false;
};

struct StepsVerb {
    std::string stack_file, stock_file, shop_file, job, model = "large";
    std::optional<int> legs; ///< of STACK.json; a job knows its own
    std::optional<double> working_lift_mm;
    bool json = false;
};

struct StockVerb {
    std::string shop_file, path;
    bool preview = false, json = false, everything = false, create = false;
    std::vector<std::string> columns, values; ///< "heading=field", "field=value"
    std::string decimal, unit, sheet;
    bool as_written = false, force = false;
    std::string paper = "a4";
};

struct SheetVerb {
    std::string shop_file, job, out_file, paper = "a4";
    std::string waiting_day; ///< of the reorder plan; empty: its usual price
    bool json = false, force = false;
};

struct KitVerb {
    std::string shop_file, out_file, recipes_file, season, budget, paper = "a4";
    std::optional<int> drawers;
    double within_percent = 5, seconds = 600;
    std::vector<std::string> keep, without; ///< sizes: "24x6x0.10"
    int seed = 1;
    bool recipes_alone = false, no_kept_recipes = false, set_points = false, points_back = false,
         no_cache = false, empty_drawers = false, keep_ods = false, json = false, force = false;
};

/// A shop on a server: made ready, or moved there and back.
struct ServerVerb {
    std::string from, to; ///< prepare: the backup, and what is made ready
    bool json = false;
};

struct OrderVerb {
    std::string shop_file, supplier, order, note, bin, waiting_day;
    std::vector<std::string> changes; ///< "PART=PACKS" to place, "LINE=QUANTITY@BIN" to receive
    bool all = false, close = false, json = false;
};

struct ReorderClassVerb {
    std::string shop_file, part_class;
    bool set = false;
    std::optional<int> service_per_mille, review_days, holding_percent, cover_months, dead_months;
    std::optional<std::string> line_cost;
};

/// Help of --force, which all verbs that write a sheet share.
inline constexpr const char* replace_help = "Replace whatever file has that name (a shop file never)";

int runDemo(const DemoVerb& verb, Streams& streams);
int runLift(const LiftVerb& verb, Streams& streams);
int runDamping(const DampingVerb& verb, Streams& streams);
int runSubstitute(const SubstituteVerb& verb, Streams& streams);
int runReserve(const SubstituteVerb& verb, Streams& streams);
int runSteps(const StepsVerb& verb, Streams& streams);
int runStockImport(const StockVerb& verb, Streams& streams);
int runStockTemplate(const StockVerb& verb, Streams& streams);
int runStockExport(const StockVerb& verb, Streams& streams);
int runStockVerify(const StockVerb& verb, Streams& streams);
int runPick(const SheetVerb& verb, Streams& streams);
int runReorder(const SheetVerb& verb, Streams& streams);
int runKit(const KitVerb& verb, Streams& streams);
int runReorderClass(const ReorderClassVerb& verb, Streams& streams);
int runOrderList(const OrderVerb& verb, Streams& streams);
int runOrderPlace(const OrderVerb& verb, Streams& streams);
int runOrderReceive(const OrderVerb& verb, Streams& streams);
int runBackup(const SheetVerb& verb, Streams& streams);
int runRestore(const SheetVerb& verb, Streams& streams);
int runRescue(const SheetVerb& verb, Streams& streams);
int runServerPrepare(const ServerVerb& verb, Streams& streams);
int runMove(const ServerVerb& verb, Streams& streams);
int runJobShow(const SheetVerb& verb, Streams& streams);

/// Reads the arguments (without the program's name), runs the verb, turns errors into one sentence and a
/// code.
int runCommand(const std::vector<std::string>& arguments, Streams& streams);

} // namespace shimledger::command
