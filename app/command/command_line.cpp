// SPDX-License-Identifier: GPL-3.0-or-later
// The one file that includes CLI11, which takes long to compile: options in, a filled verb out.
#include "app/command/argument_check.h"
#include "app/command/master_command_line.h"
#include "app/command/shop_command_line.h"
#include "app/command/verb_description.h"
#include "app/command/verbs.h"
#include "app/version/program_version.h"

#include "inventory/inventory_error.h"
#include "planner/substitute/search_rules.h"
#include "planner/units/input_error.h"

#include <CLI/CLI.hpp>

#include <charconv>
#include <cmath>
#include <fmt/core.h>
#include <functional>
#include <ostream>

namespace shimledger::command {

namespace {

constexpr const char* waiting_day_help =
    "What a job costs that waits a day beyond its due day, in money (0: nothing; default 2.00)";
constexpr const char* footer =
    "Exit codes: 0 done, 1 fault, 2 bad input, 3 proved impossible, 4 limit reached first.\n"
    "The figures are an aid to a trained person, who follows the maker's service data.";

void addAllJobs(CLI::App& app, SubstituteVerb& verb) {
    CLI::Option* all_jobs = app.add_flag(
        "--all-jobs", verb.all_jobs,
        "All open jobs of --db against one stock: as many as can be, the most urgent first, then the "
        "least sum of deviations");
    CLI::Option* all_valves = app.add_flag("--all-valves", verb.all_valves,
                                           "With --job: all open valves of its component against one stock");
    app.add_option("--plan-seconds", verb.plan_seconds,
                   "With --all-jobs or --all-valves: end all searches after this")
        ->capture_default_str()
        ->check(CLI::Range(0.0, 86400.0))
        ->each([all_jobs, all_valves](const std::string&) {
            if (all_jobs->count() + all_valves->count() == 0)
                throw CLI::RequiresError("--plan-seconds", "--all-jobs or --all-valves");
        });
}

/// Options and help as the rules are declared.
void addRules(CLI::App& app, SubstituteVerb& verb) {
    for (const planner::SearchRule& rule : planner::searchRules()) {
        const std::string option = std::string("--") + rule.name;
        CLI::Option* added = nullptr;
        switch (rule.kind) {
        case planner::SearchRule::Kind::yes_no:
            added = app.add_flag(option, verb.rule_flags[rule.name], rule.help);
            break;
        case planner::SearchRule::Kind::words:
        case planner::SearchRule::Kind::rows:
            added = app.add_option(option, verb.rule_words[rule.name], rule.help);
            break;
        default: {
            std::string& text = verb.rule_texts[rule.name];
            text = rule.standard();
            added = app.add_option(option, text, rule.help + rule.rangeText())->capture_default_str();
            if (option == "--working-lift")
                added->each([&verb](const std::string&) { verb.lift_is_asked = true; });
        }
        }
        added->group("Rules");
    }
}

/// All verbs, each with what it runs once the arguments are read.
/// "0.1,0.2": CLI11's own splitting passes over what is empty between two commas.
std::vector<double> numbersOf(const std::string& option, const std::string& text) {
    std::vector<double> numbers;
    std::size_t begin = 0;
    while (begin <= text.size()) {
        const std::size_t end = std::min(text.find(',', begin), text.size());
        const std::string one = text.substr(begin, end - begin);
        double number = 0;
        const auto read = std::from_chars(one.data(), one.data() + one.size(), number);
        if (one.empty() || read.ec != std::errc() || read.ptr != one.data() + one.size())
            throw CLI::ValidationError(option,
                                       "'" + text.substr(0, 60) +
                                           "' is no row of numbers parted by commas, such as 0.1,0.2,0.5");
        if (std::isnan(number)) throw CLI::ValidationError(option, "'" + one + "' is no number");
        numbers.push_back(number);
        begin = end + 1;
    }
    return numbers;
}

struct CommandLine {
    CLI::App app{"Shimledger: parts inventory and shim-kit planner for a suspension shop", "shimledger"};
    DemoVerb demo;
    LiftVerb lift;
    DampingVerb damping;
    SubstituteVerb substitute, reserve;
    StepsVerb steps;
    StockVerb import, exports, verify, stock_template;
    SheetVerb pick, reorder, backup, restore, rescue, job_show;
    ServerVerb prepare, move;
    OrderVerb order_list, order_place, order_receive;
    ReorderClassVerb reorder_class;
    KitVerb kit;
    ShopCommandLine shop;
    MasterCommandLine master;
    std::string description;
    std::function<int(Streams&)> chosen;

    template <typename Verb>
    void runs(CLI::App* sub, const Verb& verb, int (*run)(const Verb&, Streams&)) {
        sub->footer(footer);
        sub->callback(
            [this, &verb, run] { chosen = [&verb, run](Streams& streams) { return run(verb, streams); }; });
    }

    static void addShop(CLI::App* sub, std::string& shop_file) {
        sub->add_option("--db", shop_file, "Shop file")->required();
    }

    void addSteps() {
        CLI::App* sub = app.add_subcommand(
            "steps", "What each single step from a stack does to its curve, and whether the drawers have it");
        sub->add_option("STACK", steps.stack_file, "STACK.json (with or without --stock)");
        sub->add_option("--stock", steps.stock_file, "STOCK.csv: its sizes are the steps there are");
        sub->add_option("--legs", steps.legs, "With STACK: identical stacks to build (default: 2)");
        sub->add_option("--db", steps.shop_file, "Shop file (with --job)");
        sub->add_option("--job", steps.job, "Job: steps from its target");
        sub->add_option("--model", steps.model, "large or small")->capture_default_str();
        sub->add_option(
            "--working-lift", steps.working_lift_mm,
            "Told at a tenth of this lift, half of it and all of it, mm (default: the lift of the "
            "job's valve, else 0.3)");
        sub->add_flag("--json", steps.json, "Write JSON");
        runs(sub, steps, &command::runSteps);
    }

    /// What to keep in the drawers at all.
    void addKit() {
        CLI::App* sub = app.add_subcommand(
            "kit", "Which sizes to keep and how many packs of each, for a budget and the coming season");
        addShop(sub, kit.shop_file);
        sub->add_option("--budget", kit.budget,
                        "What may be spent on packs (default: what reorder points for 95 % would cost)");
        sub->add_option("--drawers", kit.drawers, "Most sizes that can be kept (default: any number)")
            ->check(CLI::Range(1, 100000));
        sub->add_option("--within", kit.within_percent,
                        "Stacks within so many % of the wanted curve count as built")
            ->capture_default_str()
            ->check(CLI::Range(0.1, 50.0));
        sub->add_option(
            "--season", kit.season,
            "First and last day, such as 2026-03-01..2026-08-31 (default: half a year from today)");
        sub->add_option("--recipes", kit.recipes_file,
                        "Stacks that are expected besides, with a number a year (.json or .csv)");
        sub->add_flag("--no-kept-recipes", kit.no_kept_recipes, "Leave out the recipes that the shop keeps");
        sub->add_flag("--recipes-alone", kit.recipes_alone, "Leave out what the shop's jobs asked for");
        sub->add_flag("--empty-drawers", kit.empty_drawers, "As if nothing lay in the drawers yet");
        sub->add_flag("--keep-ods", kit.keep_ods, "Substitutes keep every OD of the wanted stack");
        sub->add_option("--keep", kit.keep, "A size that is kept in any case, such as 24x6x0.10 (repeat)");
        sub->add_option("--without", kit.without, "A size that is not kept (repeat)");
        sub->add_flag("--no-cache", kit.no_cache,
                      "Make all ways to build anew, and keep none in the user's cache");
        sub->add_flag("--set-points", kit.set_points,
                      "Make what is to be kept the parts' reorder points, in one step");
        sub->add_flag("--points-back", kit.points_back, "Take the last such step back; no plan is made");
        sub->add_option("--seed", kit.seed,
                        "Of the windows that are drawn; the same seed gives the same plan")
            ->capture_default_str()
            ->check(CLI::Range(0, 1000000000));
        sub->add_option("--seconds", kit.seconds, "Tell what there is after so long")
            ->capture_default_str()
            ->check(CLI::Range(1.0, 86400.0));
        sub->add_option("--out", kit.out_file, "File to write (.xlsx)");
        sub->add_option("--paper", kit.paper, "a4 or letter")->capture_default_str();
        sub->add_flag("--force", kit.force, replace_help);
        sub->add_flag("--json", kit.json, "Write JSON");
        runs(sub, kit, &command::runKit);
    }

    /// What was planned is ordered, what was ordered comes.
    void addOrders() {
        CLI::App* order = app.add_subcommand("order", "List, place and receive purchase orders");
        order->require_subcommand(1);
        CLI::App* sub = order->add_subcommand("list", "Orders that are open, with what has come");
        addShop(sub, order_list.shop_file);
        sub->add_flag("--all", order_list.all, "Closed orders too");
        sub->add_flag("--json", order_list.json, "Write JSON");
        runs(sub, order_list, &command::runOrderList);
        sub = order->add_subcommand("place", "Order from one supplier what the reorder plan says");
        addShop(sub, order_place.shop_file);
        sub->add_option("--supplier", order_place.supplier, "Supplier")->required();
        sub->add_option("--set", order_place.changes, "PART=PACKS: change, add, or drop with 0 (repeatable)");
        sub->add_option("--order", order_place.order, "Order code (default: the next PO-YEAR-NUMBER)");
        sub->add_option("--note", order_place.note, "Note on the order");
        sub->add_option("--waiting-day", order_place.waiting_day, waiting_day_help);
        sub->add_flag("--json", order_place.json, "Write JSON");
        runs(sub, order_place, &command::runOrderPlace);
        sub = order->add_subcommand("receive", "Book a delivery, or a part of it");
        addShop(sub, order_receive.shop_file);
        sub->add_option("--order", order_receive.order, "Order code")->required();
        sub->add_option("--line", order_receive.changes, "LINE=QUANTITY or LINE=QUANTITY@BIN (repeatable)");
        sub->add_flag("--all", order_receive.all, "Everything that is still expected");
        sub->add_option("--bin", order_receive.bin, "Drawer for parts that lie in none yet");
        sub->add_flag("--close", order_receive.close, "Expect nothing more");
        runs(sub, order_receive, &command::runOrderReceive);

        sub = app.add_subcommand("reorder-class", "Show how classes of parts are ordered, or set it for one");
        addShop(sub, reorder_class.shop_file);
        CLI::Option* name = sub->add_option("--class", reorder_class.part_class,
                                            "Class to set (\"\": every class without settings of its own)");
        const auto figure = [&](const char* option, auto& value, const char* what) {
            sub->add_option(option, value, what)->needs(name);
        };
        figure("--service", reorder_class.service_per_mille,
               "Share of jobs promised in full from the shelf, per mille: 980 is 98 %");
        figure("--review", reorder_class.review_days, "Days from one look to the next");
        figure("--line-cost", reorder_class.line_cost, "Cost of one more line on an order");
        figure("--holding", reorder_class.holding_percent, "Cost of keeping a piece, % of its price a year");
        figure("--cover", reorder_class.cover_months, "Never order for more months than this");
        figure("--dead", reorder_class.dead_months, "Months without demand until stock is dead");
        name->each([this](const std::string&) { reorder_class.set = true; });
        runs(sub, reorder_class, &command::runReorderClass);
    }

    /// The man page and the completion follow from all that is declared here: a package has them written.
    void addDescription() {
        CLI::App* sub = app.add_subcommand("describe", "Write the man page or the shell's completion");
        sub->group(""); // in no list of verbs
        sub->add_option("FORM", description, "man or bash")->required();
        sub->callback([this] {
            chosen = [this](Streams& streams) {
                streams.out << describeVerbs(app, description, version::programVersion());
                return exit_done;
            };
        });
    }

    CommandLine() {
        app.footer(footer);
        app.set_version_flag("--version", version::versionText("shimledger"),
                             "Print the number, the commit, the schema of shop files and the libraries");
        app.require_subcommand(1);
        CLI::App* sub = app.add_subcommand(
            "demo", "New demo shop in DIR, the whole main job, pick list and reorder sheet");
        sub->add_option("DIR", demo.folder, "Folder, new or empty")->required();
        sub->add_option("--catalog", demo.catalog, "Folder of the demo shop's CSV files");
        sub->add_option("--paper", demo.paper, "a4 or letter")->capture_default_str();
        runs(sub, demo, &command::runDemo);

        sub = app.add_subcommand("lift", "Pressure-lift curve of a stack");
        sub->add_option("STACK", lift.stack_file, "STACK.json")->required();
        CLI::Option* pressures = sub->add_option_function<std::string>(
            "--pressures",
            [this](const std::string& text) { lift.pressures_mpa = numbersOf("--pressures", text); },
            "Pressures in MPa, ascending, parted by commas");
        sub->add_option("--model", lift.model, "large, small or warp")->capture_default_str();
        sub->add_option("--working-lift", lift.working_lift_mm, "Without --pressures: up to this lift, mm")
            ->capture_default_str()
            ->excludes(pressures);
        sub->add_option("--tolerance", lift.tolerance, "Thickness tolerance class: normal, fine or precision")
            ->capture_default_str();
        sub->add_option_function<double>(
               "--friction",
               [this](double friction) {
                   lift.friction = friction;
                   lift.friction_given = true;
               },
               "Coefficient of friction between the discs, 0 to 0.5 (0: none). Lubricated steel on steel "
               "has 0.08 to 0.16 in handbooks; nobody measured it in a damper. Told of "
               "round discs: not with --model warp")
            ->default_str(fmt::format("{:g}", lift.friction));
        sub->add_flag("--json", lift.json, "Write JSON");
        runs(sub, lift, &command::runLift);

        sub =
            app.add_subcommand("damping", "Force over shaft speed of a stack in its valve, against another");
        sub->add_option("STACK", damping.stack_file, "STACK.json with a \"flow\"");
        sub->add_option("--db", damping.shop_file, "Shop file (with --job, in place of STACK)");
        sub->add_option("--job", damping.job,
                        "Job: what was built or accepted against its target, in the valve of its model");
        sub->add_option("--proposal", damping.proposal,
                        "With --job: search, and take this proposal (1 is the closest) against the target")
            ->check(CLI::Range(1, 100));
        sub->add_option_function<std::string>(
            "--speeds", [this](const std::string& text) { damping.speeds_m_s = numbersOf("--speeds", text); },
            "Shaft speeds in m/s, ascending, parted by commas");
        sub->add_option("--against", damping.against_file,
                        "STACK.json to compare with: its flow, or that of STACK where it has none");
        sub->add_option("--measured", damping.measured_file,
                        "CSV of a test bench's readings: speed_m_s,force_n");
        sub->add_option(
               "--fit", damping.fit,
               "What of STACK's flow is fitted to the readings: discharge, bleed or both, parted by a "
               "comma (default: discharge)")
            ->delimiter(',');
        sub->add_flag("--keep-fit", damping.keep_fit,
                      "With --job and --measured: keep what was fitted with the job's component model");
        sub->add_flag("--json", damping.json, "Write JSON");
        runs(sub, damping, &command::runDamping);

        sub = app.add_subcommand("substitute", "Stacks of equal stiffness from what the drawers hold");
        sub->add_option("STACK", substitute.stack_file, "STACK.json (with --stock)");
        sub->add_option("--stock", substitute.stock_file, "STOCK.csv");
        sub->add_option("--legs", substitute.legs, "With STACK: identical stacks to build (default: 2)");
        sub->add_option("--db", substitute.shop_file, "Shop file (with --job)");
        sub->add_option("--job", substitute.job, "Job");
        addAllJobs(*sub, substitute);
        sub->add_option(
               "--near", substitute.near_percent,
               "With --wanted: where nothing is as near as this (% of pressure), say which OD limits it "
               "and, with --job, the cheapest purchase that would bring it as near; 0: do not ask")
            ->capture_default_str()
            ->check(CLI::Range(0.0, 100.0));
        sub->add_flag("--json", substitute.json, "Write JSON");
        addRules(*sub, substitute);
        runs(sub, substitute, &command::runSubstitute);

        sub = app.add_subcommand(
            "reserve", "Search as substitute does, accept one proposal and reserve its discs; or the "
                       "plan of all open jobs");
        addShop(sub, reserve.shop_file);
        sub->add_option("--job", reserve.job, "Job");
        addAllJobs(*sub, reserve);
        reserve.accept = 1;
        sub->add_option("--proposal", reserve.accept, "Number of the proposal")->capture_default_str();
        sub->add_option("--by", reserve.made_by, "With --wanted: who wishes it, a name or initials");
        sub->add_flag("--json", reserve.json, "Write JSON");
        addRules(*sub, reserve);
        runs(sub, reserve, &command::runReserve);

        addSteps();

        CLI::App* stock = app.add_subcommand("stock", "Import, export, count and verify stock");
        stock->require_subcommand(1);
        sub = stock->add_subcommand(
            "import", "Read a sheet (.csv, .xlsx, .ods) or a folder of them: all of it or nothing");
        addShop(sub, import.shop_file);
        sub->add_option("PATH", import.path, "A sheet of parts, drawers and counts, or a folder of tables")
            ->required();
        sub->add_flag("--preview", import.preview, "Only say how it is understood and what it would do");
        sub->add_flag("--create", import.create, "Make the shop file");
        sub->add_option("--column", import.columns,
                        "HEADING=FIELD, or #NUMBER=FIELD: what a column is (ignore: not read; repeat)");
        sub->add_option("--set", import.values,
                        "FIELD=VALUE where the sheet says none, such as id_mm=6 (repeat)");
        sub->add_option("--decimal", import.decimal, "point or comma, where the numbers do not tell");
        sub->add_option("--unit", import.unit, "mm or in, where neither headings nor cells tell");
        sub->add_option("--sheet", import.sheet, "Only this sheet of a workbook");
        sub->add_flag("--as-written", import.as_written, "Sizes that are not likely are meant as they are");
        runs(sub, import, &command::runStockImport);
        sub = stock->add_subcommand("export",
                                    "Write the drawers as CSV, or everything as a folder of CSV files");
        addShop(sub, exports.shop_file);
        sub->add_option("--out", exports.path, "File, or folder with --everything")->required();
        sub->add_flag("--everything", exports.everything, "All tables, ready to be imported again");
        runs(sub, exports, &command::runStockExport);
        sub = stock->add_subcommand("template",
                                    "Write a workbook to fill in, which stock import takes (.xlsx)");
        sub->add_option("FILE", stock_template.path, "File to write")->required();
        sub->add_option("--paper", stock_template.paper, "a4 or letter")->capture_default_str();
        sub->add_flag("--force", stock_template.force, replace_help);
        runs(sub, stock_template, &command::runStockTemplate);
        sub = stock->add_subcommand("verify", "Prove all balances from the movements");
        addShop(sub, verify.shop_file);
        sub->add_flag("--json", verify.json, "Write JSON");
        runs(sub, verify, &command::runStockVerify);

        CLI::App* job = app.add_subcommand("job", "Open, list, show, change, pull, end and reopen jobs");
        job->require_subcommand(1);
        sub = job->add_subcommand(
            "show", "One job's stack with bins and availability; of one that has ended, what was built");
        addShop(sub, job_show.shop_file);
        sub->add_option("--job", job_show.job, "Job")->required();
        sub->add_flag("--json", job_show.json, "Write JSON");
        runs(sub, job_show, &command::runJobShow);

        sub = app.add_subcommand("pick", "Pick list and build sheet of a reserved job (.xlsx)");
        addShop(sub, pick.shop_file);
        sub->add_option("--job", pick.job, "Job")->required();
        sub->add_option("--out", pick.out_file, "File to write")->required();
        sub->add_option("--paper", pick.paper, "a4 or letter")->capture_default_str();
        sub->add_flag("--force", pick.force, replace_help);
        runs(sub, pick, &command::runPick);

        sub = app.add_subcommand("reorder", "What to buy, from whom, in packs, and why (.xlsx)");
        addShop(sub, reorder.shop_file);
        sub->add_option("--out", reorder.out_file, "File to write")->required();
        sub->add_option("--make-possible", reorder.job,
                        "Also buy what would make this impossible job possible");
        sub->add_option("--paper", reorder.paper, "a4 or letter")->capture_default_str();
        sub->add_flag("--force", reorder.force, replace_help);
        sub->add_option("--waiting-day", reorder.waiting_day, waiting_day_help);
        sub->add_flag("--json", reorder.json, "Write JSON as well");
        runs(sub, reorder, &command::runReorder);

        addKit();
        addOrders();

        sub = app.add_subcommand("backup", "Copy the shop file while others work on it");
        addShop(sub, backup.shop_file);
        sub->add_option("--out", backup.out_file, "File to write")->required();
        runs(sub, backup, &command::runBackup);
        sub = app.add_subcommand("restore", "Put a backup in the place of a lost or damaged shop file");
        addShop(sub, restore.shop_file);
        sub->add_option("--from", restore.out_file, "Backup")->required();
        runs(sub, restore, &command::runRestore);
        sub = app.add_subcommand("rescue", "Write what can still be read of a damaged shop file as CSV");
        addShop(sub, rescue.shop_file);
        sub->add_option("--out", rescue.out_file, "Folder, new or empty")->required();
        runs(sub, rescue, &command::runRescue);

        CLI::App* server = app.add_subcommand("server", "A shop on a PostgreSQL server, for several benches");
        server->require_subcommand(1);
        sub =
            server->add_subcommand("prepare", "Make the tables of an empty shop and the roles of its users");
        sub->add_option("ADDRESS", prepare.to, "postgresql://host/database")->required();
        sub->add_option("--backup", prepare.from,
                        "New file for the backup of an older shop, which is brought up to date");
        runs(sub, prepare, &command::runServerPrepare);
        sub =
            app.add_subcommand("move", "Move a shop from a file to a server, or back: all of it or nothing");
        sub->add_option("FROM", move.from, "Shop file or address")->required();
        sub->add_option("TO", move.to, "Address or a new shop file")->required();
        sub->add_flag("--json", move.json, "Write JSON");
        runs(sub, move, &command::runMove);

        shop.addTo(app, footer, chosen);
        master.addTo(app, footer, chosen);
        addDescription();
        refuseMisreadValues(app);
    }
};

} // namespace

namespace {

/// What was typed may come back in a sentence; it must not steer the terminal.
std::string printable(std::string text) {
    for (char& letter : text) {
        const auto byte = static_cast<unsigned char>(letter);
        if ((byte < 0x20 && letter != '\n') || byte == 0x7f) letter = '?';
    }
    return text;
}

} // namespace

int runCommand(const std::vector<std::string>& arguments, Streams& streams) {
    CommandLine line;
    try {
        std::vector<std::string> reversed(arguments.rbegin(), arguments.rend()); // as CLI11 wants them
        line.app.parse(reversed);
    } catch (const CLI::ParseError& error) {
        if (error.get_exit_code() == 0) return line.app.exit(error, streams.out, streams.error); // help
        streams.error << printable(sentenceOf(line.app, error)) << '\n';
        return exit_bad_input;
    }
    try {
        return line.chosen(streams);
    } catch (const InputError& error) {
        streams.error << printable(error.what()) << '\n';
        return exit_bad_input;
    } catch (const inventory::FileFault& fault) {
        streams.error << printable(fault.what()) << '\n';
    } catch (const std::exception& fault) {
        streams.error << "internal error, please report it: " << fault.what() << '\n';
    }
    return exit_fault;
}

} // namespace shimledger::command
