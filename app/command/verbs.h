#pragma once

#include "planner/mechanics/disc_friction.h"

#include <cstdint>
#include <iosfwd>
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
    exit_limit = 4,      ///< a limit came first
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
    bool json = false;
};

struct SubstituteVerb {
    std::string stack_file, stock_file, shop_file, job;
    int legs = 2;
    bool move_face = false; ///< the face too
    bool any_od = false;    ///< tapers may move to a neighbouring OD
    std::string od_step = "1.0", crossover_od = "1.0", crossover_gap = "0", height = "0.30";
    int other_groups = 1;
    int most_changed = -1; ///< -1: no limit
    int most_discs = 60;
    bool no_mixing = false;
    std::vector<std::string> bins_left_alone;
    std::int64_t keep = 0;
    double working_lift_mm = 0.30;
    double low_speed_lift_mm = 0, low_speed_weight = 1, high_speed_weight = 1;
    std::string model = "large", tolerance = "precision";
    double seconds = 10;
    double gap_percent = 0.05; ///< of the pressure
    double choice_percent = 10;
    int proposals = 6;
    int accept = 0;           ///< reserve verb: 1-based proposal
    bool all_jobs = false;    ///< all open jobs of the shop against one stock
    double plan_seconds = 60; ///< for all searches of all jobs
    bool json = false;
};

struct StockVerb {
    std::string shop_file, path;
    bool preview = false, json = false, everything = false, create = false;
};

struct SheetVerb {
    std::string shop_file, job, out_file, paper = "a4";
    bool json = false;
};

struct OrderVerb {
    std::string shop_file, supplier, order, note, bin;
    std::vector<std::string> changes; ///< "PART=PACKS" to place, "LINE=QUANTITY@BIN" to receive
    bool all = false, close = false, json = false;
};

struct ReorderClassVerb {
    std::string shop_file, part_class;
    bool set = false;
    std::optional<int> service_per_mille, review_days, holding_percent, cover_months, dead_months;
    std::optional<std::string> line_cost;
};

int runDemo(const DemoVerb& verb, Streams& streams);
int runLift(const LiftVerb& verb, Streams& streams);
int runSubstitute(const SubstituteVerb& verb, Streams& streams);
int runReserve(const SubstituteVerb& verb, Streams& streams);
int runStockImport(const StockVerb& verb, Streams& streams);
int runStockExport(const StockVerb& verb, Streams& streams);
int runStockVerify(const StockVerb& verb, Streams& streams);
int runPick(const SheetVerb& verb, Streams& streams);
int runReorder(const SheetVerb& verb, Streams& streams);
int runReorderClass(const ReorderClassVerb& verb, Streams& streams);
int runOrderList(const OrderVerb& verb, Streams& streams);
int runOrderPlace(const OrderVerb& verb, Streams& streams);
int runOrderReceive(const OrderVerb& verb, Streams& streams);
int runBackup(const SheetVerb& verb, Streams& streams);
int runRestore(const SheetVerb& verb, Streams& streams);
int runRescue(const SheetVerb& verb, Streams& streams);
int runJobList(const SheetVerb& verb, Streams& streams);
int runJobShow(const SheetVerb& verb, Streams& streams);

/// Reads the arguments (without the program's name), runs the verb, turns errors into one sentence and a
/// code.
int runCommand(const std::vector<std::string>& arguments, Streams& streams);

} // namespace shimledger::command
