// SPDX-License-Identifier: GPL-3.0-or-later
// Options of the verbs of drawers, strips and wear; apart from command_line.cpp, so that each stays readable.
#include "app/command/shop_command_line.h"

#include "app/command/verb_adder.h"

#include <CLI/CLI.hpp>

namespace shimledger::command {

namespace {

template <typename Verb>
void needJob(CLI::App* sub, Verb& verb) {
    sub->add_option("--job", verb.job, "Job")->required();
}

void addValveSizes(CLI::App* sub, JobVerb& verb) {
    sub->add_option("--valve", verb.valve, "Valve: compression, rebound, base, mid ...");
    sub->add_option("--clamp-od", verb.clamp_od, "Clamp diameter, mm");
    sub->add_option("--port-inner", verb.port_inner, "Inner diameter of the ports, mm");
    sub->add_option("--port-outer", verb.port_outer, "Outer diameter of the ports, mm");
    sub->add_option("--shim-id", verb.shim_id, "Bore of the shims, mm");
    sub->add_option("--seat", verb.seat, "Diameter of the seat, mm, or none");
    sub->add_option("--preload", verb.preload, "Height of the seat above the clamp, mm, or none");
}

void addParticulars(CLI::App* sub, JobVerb& verb) {
    addValveSizes(sub, verb);
    sub->add_option("--customer", verb.customer, "Customer, or none: stays in the shop file");
    sub->add_option("--component", verb.component, "Mark of the component (serial number, tag), or none");
    sub->add_option("--due", verb.due, "Day it is due, YYYY-MM-DD, or none");
    sub->add_option("--priority", verb.priority, "0 to 9, greater is more urgent");
    sub->add_option("--note", verb.note, "Note, or none");
}

void addJob(CLI::App& job, ShopCommandLine& verbs, const VerbAdder& adder) {
    CLI::App* sub =
        adder.add(job, "open", "Open a job; alone with --like it takes the sizes of an earlier one",
                  verbs.open, &runJobOpen);
    sub->add_option("--job", verbs.open.job, "Its code (default: the next one)");
    sub->add_option("--like", verbs.open.like,
                    "Model, legs, valve and target as in this job, where not given");
    sub->add_option("--model", verbs.open.model, "Component model");
    sub->add_option("--kind", verbs.open.kind, "fork or shock: the model is new to the shop");
    sub->add_option("--description", verbs.open.description, "Of the new model");
    sub->add_option("--legs", verbs.open.legs, "1 to 4 (default: as the model has)");
    sub->add_option("--target", verbs.open.target, "\"4 x 24.0 x 0.10; 1 x 18.0 x 0.15\", piston face first");
    sub->add_flag("--all-valves", verbs.open.all_valves, "With all the valves that the model lists");
    addParticulars(sub, verbs.open);
    sub = adder.add(job, "change", "Change what a job that has not ended says", verbs.change, &runJobChange);
    needJob(sub, verbs.change);
    addParticulars(sub, verbs.change);
}

void addJobValves(CLI::App& job, JobValveVerb& verb, const VerbAdder& adder) {
    CLI::App* valve = addGroup(job, "valve", "The valves of a job's component, each with stacks of its own");
    const auto add = [&](const char* name, const char* help, int (*run)(const JobValveVerb&, Streams&)) {
        CLI::App* sub = adder.add(*valve, name, help, verb, run);
        needJob(sub, verb);
        sub->add_flag("--json", verb.json, "Write JSON");
        return sub;
    };
    add("list", "Its valves, with the codes that name them wherever a job is asked for", &runJobValveList);
    CLI::App* sub =
        add("add", "One more valve of the component, or all that the model lists", &runJobValveAdd);
    addValveSizes(sub, verb);
    sub->add_option("--first-leg", verb.first_leg, "It lies in the legs from this one on (default: 1)")
        ->check(CLI::Range(1, 4));
    sub->add_option("--legs", verb.legs, "In so many legs (default: to the component's last)")
        ->check(CLI::Range(1, 4));
    sub->add_flag("--all-valves", verb.all_valves, "All that the model lists and the component has none of");
    sub = add("split", "Legs that are to have a stack of their own", &runJobValveSplit);
    sub->add_option("--from-leg", verb.from_leg, "From this leg on")
        ->capture_default_str()
        ->check(CLI::Range(1, 4));
    sub = add("join", "Make a job a valve of another job's component", &runJobValveJoin);
    sub->add_option("--to", verb.to, "The job of the component")->required();
    add("separate", "Make a valve a job by itself again", &runJobValveSeparate);
}

void addJobList(CLI::App& job, JobListVerb& list, const VerbAdder& adder) {
    CLI::App* sub = adder.add(job, "list", "Jobs at work: where they stand and what they are short of", list,
                              &runJobList);
    sub->add_option("--find", list.words,
                    "Words of code, customer, component, model, valve, day, note: late, priority5");
    sub->add_option("--customer", list.customer, "Words of the customer");
    sub->add_option("--due-until", list.due_until, "Due on this day or before, YYYY-MM-DD");
    sub->add_option("--priority", list.priority, "Of this priority or more urgent, 0 to 9");
    sub->add_flag("--late", list.late, "Only those whose due day is over");
    sub->add_flag("--ended", list.ended, "Those that are closed or given up, and no others");
    sub->add_flag("--all", list.all, "Those that have ended too");
    sub->add_flag("--json", list.json, "Write JSON");
}

void addJobTarget(CLI::App& job, JobTargetVerb& target, const VerbAdder& adder) {
    CLI::App* sub = adder.add(job, "target", "Set a job's target stack", target, &runJobTarget);
    needJob(sub, target);
    sub->add_option("STACK", target.stack_file, "STACK.json, for the job's valve");
    sub->add_option("--rows", target.rows,
                    "Instead of a file: \"4 x 24.0 x 0.10; 1 x 18.0 x 0.15\", piston face first");
    sub->add_flag("--valve-too", target.valve_too, "The valve of STACK becomes the job's");
    sub->add_flag("--json", target.json, "Write JSON");
}

void addJobTries(CLI::App& job, JobTriesVerb& tries, const VerbAdder& adder) {
    CLI::App* sub =
        adder.add(job, "tries", "List stacks that were tried for a job, or keep, take or drop one", tries,
                  &runJobTries);
    needJob(sub, tries);
    sub->add_option(
        "--keep", tries.keep,
        "Keep this one: \"4 x 24.0 x 0.10; 1 x 18.0 x 0.15\", piston face first; the target stays");
    sub->add_option("--name", tries.name, "With --keep: what it is called (default: Try 1, Try 2 ...)");
    sub->add_option("--wanted", tries.wanted, "With --keep: what was wished, as of substitute --wanted");
    sub->add_option("--take", tries.take, "Make the try of this name the job's target; the old one is kept");
    sub->add_option("--drop", tries.drop, "Throw the try of this name away");
    sub->add_option("--by", tries.made_by, "With --keep or --take: who does it, a name or initials");
    sub->add_flag("--json", tries.json, "Write JSON");
}

void addSheetOptions(CLI::App* sub, BooksVerb& verb) {
    sub->add_option("--paper", verb.paper, "a4 or letter")->capture_default_str();
    sub->add_flag("--force", verb.force, replace_help);
    sub->add_flag("--json", verb.json, "Write JSON");
}

/// What leaves with the customer, and what the books want.
void addBooks(CLI::App& job, CLI::App& stock, ShopCommandLine& verbs, const VerbAdder& adder) {
    CLI::App* sub = adder.add(job, "record",
                              "Record of a job to hand over and keep: found, built, wear, next time (.xlsx)",
                              verbs.job_record, &runJobRecord);
    needJob(sub, verbs.job_record);
    sub->add_option("--out", verbs.job_record.out_file, "File to write")->required();
    addSheetOptions(sub, verbs.job_record);
    sub = adder.add(job, "cost", "What a job used and what that cost, at the last price paid",
                    verbs.job_costs, &runJobCosts);
    needJob(sub, verbs.job_costs);
    sub->add_option("--out", verbs.job_costs.out_file, "For the bill: .xlsx, else CSV");
    addSheetOptions(sub, verbs.job_costs);
    sub = adder.add(stock, "value", "What the stock was worth when a day was over, by kind and cabinet",
                    verbs.stock_value, &runStockValue);
    sub->add_option("--on", verbs.stock_value.on_day, "Day, YYYY-MM-DD (default: today)");
    sub->add_option("--out", verbs.stock_value.out_file, "All lots: .xlsx, else CSV");
    addSheetOptions(sub, verbs.stock_value);
}

void addOrderSheet(CLI::App& order, OrderSheetVerb& verb, const VerbAdder& adder) {
    CLI::App* sub = adder.add(order, "from-sheet", "Place the orders of a reorder sheet that was edited",
                              verb, &runOrderFromSheet);
    sub->add_option("--in", verb.in_file, "The workbook that 'reorder' wrote: .xlsx or .ods")->required();
    sub->add_option("--supplier", verb.supplier, "Only the order to this supplier");
    sub->add_flag("--preview", verb.preview, "Only show what differs from the plan of today");
    sub->add_flag("--again", verb.again, "Also where just that is on order already");
    sub->add_flag("--json", verb.json, "Write JSON");
}

void addFarOff(CLI::App& stock, FarOffVerb& verb, const VerbAdder& adder) {
    CLI::App* sub = adder.add(stock, "far-off", "Lots whose readings are too far from what their drawer says",
                              verb, &runStockFarOff);
    sub->add_option("--tolerance", verb.tolerance,
                    "What is allowed: half-width of the thickness class normal, fine or precision")
        ->capture_default_str();
    sub->add_option("--limit", verb.limit, "Allow so many mm instead");
    sub->add_flag("--all", verb.all, "All lots that were read, the farthest off first");
    sub->add_flag("--json", verb.json, "Write JSON");
}

void addPiece(CLI::App* sub, FlowVerb& verb, bool job) {
    sub->add_option("--part", verb.part, "Part")->required();
    sub->add_option("--bin", verb.bin, "Bin, typed or scanned")->required();
    sub->add_option("--quantity", verb.quantity, "Pieces, mm or ml")->required();
    sub->add_flag("--used", verb.used, "Used ones");
    sub->add_option("--reason", verb.reason, "Why");
    if (job) sub->add_option("--job", verb.job, "Job");
}

void addStrip(CLI::App& app, ShopCommandLine& verbs, const VerbAdder& adder) {
    CLI::App* strip = addGroup(app, "strip", "What a strip found: record, show, compare legs, put away");
    CLI::App* sub = adder.add(*strip, "record", "Write a leg's discs down, piston face first",
                              verbs.strip_record, &runStripRecord);
    needJob(sub, verbs.strip_record);
    sub->add_option("--leg", verbs.strip_record.leg, "Leg")->capture_default_str();
    sub->add_option("--row", verbs.strip_record.rows,
                    "\"4 x 23.9 x 0.148 0.150 !1 bent\": count, OD, readings in mm or part, scrap (repeat)");
    sub->add_option("--rows", verbs.strip_record.rows_file, "The same from a file, one row a line");
    sub = adder.add(*strip, "show", "The strip sheets of a job", verbs.strip_show, &runStripShow);
    needJob(sub, verbs.strip_show);
    sub =
        adder.add(*strip, "form", "Sheet to fill in at the bench, with what is written down already (.xlsx)",
                  verbs.strip_form, &runStripForm);
    needJob(sub, verbs.strip_form);
    sub->add_option("--out", verbs.strip_form.out_file, "File to write")->required();
    sub->add_option("--paper", verbs.strip_form.paper, "a4 or letter")->capture_default_str();
    sub->add_flag("--force", verbs.strip_form.force, replace_help);
    sub = adder.add(*strip, "compare", "How two legs differ, by discs and by curve", verbs.strip_compare,
                    &runStripCompare);
    needJob(sub, verbs.strip_compare);
    sub->add_option("--leg", verbs.strip_compare.leg, "First leg")->capture_default_str();
    sub->add_option("--with", verbs.strip_compare.other_leg, "Second leg")->capture_default_str();
    sub->add_option("--working-lift", verbs.strip_compare.working_lift_mm, "Up to this lift, mm")
        ->capture_default_str();
    sub = adder.add(*strip, "put-away", "Return the reclaimed discs of a built job to their bins as used",
                    verbs.strip_put_away, &runStripPutAway);
    needJob(sub, verbs.strip_put_away);
}

void addWear(CLI::App& app, ShopCommandLine& verbs, const VerbAdder& adder) {
    CLI::App* wear = addGroup(app, "wear", "Inspection: show, record, kit, deferred parts");
    needJob(adder.add(*wear, "show", "What to look at, what was found now and before", verbs.wear_show,
                      &runWearShow),
            verbs.wear_show);
    WearVerb& record = verbs.wear_record;
    CLI::App* sub = adder.add(*wear, "record", "Write a finding down", record, &runWearRecord);
    needJob(sub, record);
    sub->add_option("--leg", record.leg, "Leg; 0: of none")->capture_default_str();
    sub->add_option("--part", record.part, "Part of the model's list");
    sub->add_option("--place", record.place, "Or a place: chrome, slider");
    sub->add_option("--percent", record.percent, "A bushing's surface worn through, %");
    sub->add_option("--state", record.state, "good, worn or damaged");
    sub->add_option("--decision", record.decision, "replace, defer or keep; keep where nothing is said");
    sub->add_option("--quantity", record.quantity, "Pieces that it is about")->capture_default_str();
    sub->add_option("--reason", record.reason, "Why it is replaced or deferred");
    sub->add_option("--note", record.note, "Note");
    sub = adder.add(*wear, "kit", "What the inspection calls for", verbs.wear_kit, &runWearKit);
    needJob(sub, verbs.wear_kit);
    sub->add_flag("--apply", verbs.wear_kit.apply, "Make it the job's consumables");
    adder.add(*wear, "deferred", "Parts put off, which will be asked for", verbs.wear_deferred,
              &runWearDeferred);
}

void addORing(CLI::App& app, ORingVerb& verb, const VerbAdder& adder) {
    CLI::App* sub =
        adder.add(app, "oring", "O-rings that fit a groove: stretch, squeeze, fill", verb, &runORing);
    sub->add_option("--bore", verb.bore, "Groove in the inner part, sealing against this bore, mm");
    sub->add_option("--rod", verb.rod, "Groove in the housing, sealing against this rod, mm");
    sub->add_option("--depth", verb.depth, "Groove's bottom to the sealed surface, mm")->required();
    sub->add_option("--width", verb.width, "Groove's width, mm")->required();
    sub->add_option("--depth-tolerance", verb.depth_tolerance, "+- mm")->capture_default_str();
    sub->add_option("--diameter-tolerance", verb.diameter_tolerance, "+- mm")->capture_default_str();
    sub->add_flag("--moving", verb.moving, "It slides (default: it is at rest)");
    sub->add_option("--size", verb.size, "Judge this one first: 210, P18, G25");
    sub->add_flag("--json", verb.json, "Write JSON");
}

void addStock(CLI::App& stock, ShopCommandLine& verbs, const VerbAdder& adder) {
    CLI::App* sub = adder.add(stock, "count", "Write a count sheet, or post one that was filled in",
                              verbs.count, &runStockCount);
    sub->add_option("--out", verbs.count.out_file, "Count sheet to write: .xlsx, else CSV");
    sub->add_option("--cabinet", verbs.count.cabinet, "Only this cabinet");
    sub->add_option("--in", verbs.count.in_file, "Filled-in count sheet (CSV)");
    sub->add_flag("--preview", verbs.count.preview, "Only show the differences");
    sub->add_flag("--json", verbs.count.json, "Write JSON");
    sub->add_option("--paper", verbs.count.paper, "a4 or letter")->capture_default_str();
    sub->add_flag("--force", verbs.count.force, replace_help);

    addPiece(adder.add(stock, "receive",
                       "Book pieces that no order brings (those of an order: order receive)", verbs.receive,
                       &runReceive),
             verbs.receive, false);
    sub = adder.add(stock, "expected", "What open orders still bring", verbs.expected, &runExpected);
    sub->add_option("--order", verbs.expected.order, "Only this order");

    addPiece(adder.add(stock, "issue", "Take pieces out", verbs.issue, &runIssue), verbs.issue, true);
    addPiece(adder.add(stock, "return", "Put pieces back", verbs.give_back, &runReturn), verbs.give_back,
             true);
    addPiece(adder.add(stock, "scrap", "Throw pieces away", verbs.scrap, &runScrap), verbs.scrap, true);
    sub = adder.add(stock, "move", "Move pieces to another bin", verbs.move, &runMove);
    addPiece(sub, verbs.move, false);
    sub->add_option("--to", verbs.move.to_bin, "The other bin")->required();
    sub = adder.add(stock, "undo", "Undo a movement by its reverse", verbs.undo, &runUndo);
    sub->add_option("--movement", verbs.undo.movement, "Its number (see history)")->required();
    sub->add_flag("--batch", verbs.undo.whole_batch, "All that was posted together with it");
    sub->add_option("--reason", verbs.undo.reason, "Why")->required();
    sub = adder.add(stock, "reading", "Write micrometer readings of a lot down", verbs.reading, &runReading);
    sub->add_option("--part", verbs.reading.part, "Part")->required();
    sub->add_option("--bin", verbs.reading.bin, "Bin, typed or scanned")->required();
    sub->add_option("--mm", verbs.reading.readings, "Readings, mm")->required();
    sub->add_flag("--used", verbs.reading.used, "Of the used ones");
}

} // namespace

void ShopCommandLine::addTo(CLI::App& app, const char* footer, std::function<int(Streams&)>& chosen) {
    const VerbAdder adder(footer, chosen);
    CLI::App* sub =
        adder.add(app, "find", "Which part is it: 23.9 x 6 x 0.148, or 18.6 x 3.5 oring", find, &runFind);
    sub->add_option("MEASURED", find.words, "Sizes in mm, and the kind of part where it is known")
        ->required();
    sub->add_option("--most", find.most, "Most answers")->capture_default_str();
    sub->add_flag("--json", find.json, "Write JSON");

    sub = adder.add(app, "history", "What became of a part, bin, job, supplier, model or class, in sentences",
                    history, &runHistory);
    sub->add_option("WHAT", history.what, "part, bin, job, supplier, model or class")->required();
    sub->add_option("CODE", history.code, "Its code")->required();
    sub->add_flag("--json", history.json, "Write JSON");

    addStrip(app, *this, adder);
    addWear(app, *this, adder);
    addORing(app, o_ring, adder);

    sub = adder.add(app, "labels", "Labels for bins with a QR mark (.xlsx)", labels, &runLabels);
    sub->add_option("--out", labels.out_file, "File to write")->required();
    sub->add_option("--bin", labels.bins, "Only this bin (repeat)");
    sub->add_option("--cabinet", labels.cabinet, "Only this cabinet");
    sub->add_option("--paper", labels.paper, "a4 or letter")->capture_default_str();
    sub->add_flag("--force", labels.force, replace_help);

    sub = adder.add(app, "release", "Give back everything that is reserved for a job", release, &runRelease);
    needJob(sub, release);
    sub->add_option("--reason", release.reason, "Why");

    addStock(*app.get_subcommand("stock"), *this, adder);
    CLI::App& job = *app.get_subcommand("job");
    addJob(job, *this, adder);
    addJobList(job, job_list, adder);
    addJobTarget(job, job_target, adder);
    addJobTries(job, job_tries, adder);
    addJobValves(job, job_valves, adder);
    addBooks(job, *app.get_subcommand("stock"), *this, adder);
    addFarOff(*app.get_subcommand("stock"), far_off, adder);
    addOrderSheet(*app.get_subcommand("order"), order_sheet, adder);
    sub = adder.add(job, "pull", "Pull what is reserved: all of it, or that of one scanned bin", pull,
                    &runPull);
    needJob(sub, pull);
    sub->add_option("--bin", pull.bin, "Bin, typed or scanned");
    sub->add_option("--part", pull.part, "Only this part of it");
    CLI::Option* used = sub->add_flag("--used", pull.used, "Only used ones of it");
    sub->add_flag("--new", pull.fresh, "Only new ones of it")->excludes(used);
    sub->add_option("--found", pull.found,
                    "Fewer than wanted were there: so many are pulled, the others promised no more");
    sub = adder.add(job, "close", "End a job; what it still holds is released", close, &runJobClose);
    needJob(sub, close);
    sub->add_flag("--issue", close.issue_rest, "What it still holds counts as pulled");
    sub = adder.add(job, "cancel", "Give a job up; what it holds is released", cancel, &runJobCancel);
    needJob(sub, cancel);
    sub->add_option("--reason", cancel.reason, "Why");
    sub =
        adder.add(job, "reopen", "A job that was closed or given up is at work again", reopen, &runJobReopen);
    needJob(sub, reopen);
    sub->add_flag("--json", reopen.json, "Write JSON");
}

} // namespace shimledger::command
