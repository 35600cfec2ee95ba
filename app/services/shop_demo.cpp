// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/shop_demo.h"

#include "app/services/file_fault.h"
#include "app/services/pick_list.h"
#include "app/services/plan_job.h"
#include "app/services/proposal_text.h"
#include "app/services/reorder.h"
#include "app/services/reserve_plan.h"
#include "app/services/sheets/pick_list_sheet.h"
#include "app/services/sheets/reorder_sheet.h"
#include "inventory/csv_import.h"
#include "inventory/job_book.h"
#include "inventory/shop_backup.h"
#include "inventory/shop_file.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <system_error>

namespace shimledger::services {

namespace {

namespace fs = std::filesystem;

constexpr const char* main_job = "JOB-1002"; ///< the one whose story seed_catalog/README.md tells first

void say(const DemoOptions& options, const std::string& line) {
    if (options.tell) options.tell(line);
}

void mustBeNewOrEmpty(const fs::path& folder) {
    std::error_code error;
    if (!fs::exists(folder, error)) {
        if (error) throw FileFault("the folder " + folder.string() + " cannot be seen: " + error.message());
        return;
    }
    if (!fs::is_directory(folder, error) || !fs::is_empty(folder, error)) {
        throw InputError(folder.string() + " exists and is not an empty folder: name a new one for the demo");
    }
}

/// What the job's drawers say, in one line.
std::string situation(const JobCheck& check) {
    std::vector<std::string> sentences;
    for (const auto& shortage : check.shortages) {
        sentences.push_back(fmt::format("{} x {} short: {} wanted, {} available", shortage.od.text(1),
                                        shortage.thickness.text(2), shortage.needed, shortage.available));
    }
    for (const auto& shortage : check.consumables_short) sentences.push_back(shortage.sentence);
    return sentences.empty() ? "can be built from the drawers"
                             : fmt::format("{}", fmt::join(sentences, "; "));
}

SearchSettings settingsOf(const DemoOptions& options) {
    SearchSettings settings;
    settings.limits.seconds = options.search_seconds;
    return settings;
}

/// Plans every job that is short of discs; hands back the plan of the main one.
JobPlan planShortJobs(inventory::ShopFile& shop, const DemoOptions& options) {
    JobPlan main_plan;
    say(options, "The open jobs against the drawers:");
    for (const inventory::Job& job : inventory::JobBook(shop).listStatus(inventory::JobStatus::open)) {
        const SearchSettings settings = settingsOf(options);
        const JobCheck check = checkJob(shop, job.code, settings);
        say(options, fmt::format("  {}  {}", job.code, situation(check)));
        if (check.shortages.empty()) continue;
        JobPlan plan = planJob(shop, job.code, settings);
        say(options, "            " + plan.result.message);
        if (job.code == main_job) main_plan = std::move(plan);
    }
    if (main_plan.result.proposals.empty()) {
        throw InputError(std::string("the demo is about ") + main_job +
                         ", and these CSV files give it nothing to substitute");
    }
    return main_plan;
}

void tellMainJob(const JobPlan& plan, const DemoOptions& options) {
    const planner::StackSpec& target = *plan.request.target;
    say(options, "");
    say(options, fmt::format("{} in full. {}", main_job, plan.result.message));
    for (const auto& shortage : plan.shortages) say(options, "  " + shortage.sentence);
    std::size_t number = 1;
    for (const auto& proposal : plan.result.proposals) {
        for (const std::string& line : proposalLines(proposal, target, number)) say(options, "  " + line);
        ++number;
    }
}

} // namespace

fs::path seedCatalogFolder() {
    std::error_code error;
    const fs::path program = fs::read_symlink("/proc/self/exe", error);
    const fs::path installed = program.parent_path().parent_path() / "share" / "shimledger" / "seed_catalog";
    const fs::path source = SHIMLEDGER_SOURCE_SEED_CATALOG;
    for (const fs::path& folder : {installed, source}) {
        if (fs::exists(folder / "jobs.csv", error)) return folder;
    }
    throw InputError("the demo's CSV files are neither in " + installed.string() + " nor in " +
                     source.string() + ": name their folder");
}

DemoShop makeDemoShop(const fs::path& folder, const DemoOptions& options) {
    mustBeNewOrEmpty(folder);
    const fs::path catalogue = options.seed_catalog.empty() ? seedCatalogFolder() : options.seed_catalog;
    std::error_code error;
    fs::create_directories(folder, error);
    if (error) throw FileFault("the folder " + folder.string() + " cannot be made: " + error.message());
    DemoShop demo;
    demo.shop_file = folder / "shop.db";
    try {
        inventory::ShopFile shop = inventory::ShopFile::create(demo.shop_file, options.clock);
        const inventory::ImportReport report = inventory::importShopFolder(shop, catalogue);
        say(options, "An invented shop, made from " + catalogue.string() + ":");
        for (const auto& file : report.files) say(options, fmt::format("  {:>6}  {}", file.rows, file.what));
    } catch (...) { // else the next try would find the folder in use
        inventory::removeShopFile(demo.shop_file);
        throw;
    }
    return demo;
}

DemoShop runDemo(const fs::path& folder, const DemoOptions& options) {
    DemoShop demo = makeDemoShop(folder, options);
    inventory::ShopFile shop = inventory::ShopFile::open(demo.shop_file, options.clock);
    demo.untouched = folder / "untouched.db";
    inventory::backupShopFile(shop, demo.untouched);
    say(options, "");
    const JobPlan plan = planShortJobs(shop, options);
    tellMainJob(plan, options);
    const ReservedPlan reserved = reservePlan(shop, plan, 0);
    say(options, "");
    say(options,
        fmt::format("Proposal 1 is accepted: its {} discs and the job's consumables are reserved for {}.",
                    reserved.discs, main_job));
    for (const std::string& sentence : reserved.missing) say(options, "  " + sentence);
    demo.pick_list = folder / "pick-list.xlsx";
    const ComponentPick pick = componentPickSheet(shop, main_job);
    writePickListSheet(pick, demo.pick_list, options.paper);
    say(options, fmt::format("Pick list ({} lines, {} discs): {}", pick.walk().size(), pick.pieces(),
                             demo.pick_list.string()));
    demo.reorder_sheet = folder / "reorder.xlsx";
    const ReorderPlan reorder = reorderPlan(shop);
    writeReorderSheet(reorder, demo.reorder_sheet, options.paper, reorderReview(shop, reorder));
    for (const SupplierOrder& order : reorder.orders) {
        say(options,
            fmt::format("To buy from {}: {}, {} {}", order.supplier.name,
                        order.lines.size() == 1 ? "1 part" : fmt::format("{} parts", order.lines.size()),
                        inventory::moneyText(order.total()), order.supplier.currency));
    }
    say(options, "Reorder sheet: " + demo.reorder_sheet.string());
    say(options, "Shop file: " + demo.shop_file.string());
    return demo;
}

} // namespace shimledger::services
