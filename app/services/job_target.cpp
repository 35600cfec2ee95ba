// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/job_target.h"

#include "app/services/job_intake.h"
#include "app/services/stock_to_request.h"
#include "inventory/job_book.h"
#include "inventory/job_end.h"
#include "inventory/stock_ledger.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace shimledger::services {

namespace {

std::string sizeText(const std::optional<Length>& size) {
    return size ? size->text() + " mm" : std::string("none");
}

/// A job's book keeps sizes: what a file says of the steel would be lost in silence.
void mustBePlainSteel(const planner::StackSpec& stack) {
    int number = 0;
    for (const planner::DiscRow& row : stack.rows()) {
        ++number;
        if (row.material == planner::Material{}) continue;
        throw InputError(fmt::format("row {} has a material of its own: a job's stack is of the usual carbon "
                                     "spring steel; 'shimledger lift' follows others",
                                     number));
    }
}

void mustTakeTarget(inventory::ShopFile& shop, const inventory::Job& job) {
    if (hasEnded(job.status)) {
        throw InputError(fmt::format("job '{}' is {}: open it again before its target is changed", job.code,
                                     inventory::jobStatusName(job.status)));
    }
    if (!inventory::StockLedger(shop).reservationsOf(job.code).empty()) {
        throw InputError(fmt::format("job '{}' has discs reserved for the target that it has: release them "
                                     "before it is changed",
                                     job.code));
    }
}

} // namespace

std::vector<std::string> valveDifferences(const inventory::Job& job, const planner::ValveGeometry& valve) {
    std::vector<std::string> differences;
    const auto compare = [&](const char* noun, std::optional<Length> given, std::optional<Length> kept) {
        if (given != kept)
            differences.push_back(fmt::format("{} {}, in the job {}", noun, sizeText(given), sizeText(kept)));
    };
    compare("clamp diameter", valve.clamp_od, job.valve.clamp_od);
    compare("port's inner diameter", valve.port_inner_diameter, job.valve.port_inner_diameter);
    compare("port's outer diameter", valve.port_outer_diameter, job.valve.port_outer_diameter);
    compare("bore", valve.shim_id, job.valve.shim_id);
    compare("seat", valve.seat_diameter, job.valve.seat_diameter);
    compare("preload", valve.preload, job.valve.preload.value_or(Length()));
    return differences;
}

SavedTarget saveTarget(inventory::ShopFile& shop, std::string_view code, const planner::StackSpec& stack,
                       bool valve_too) {
    SavedTarget saved;
    mustBePlainSteel(stack);
    const std::vector<inventory::StackRow> rows = bookRows(stack.rows());
    shop.atomically([&] {
        const inventory::Job job = inventory::JobBook(shop).get(code);
        mustTakeTarget(shop, job);
        saved.valve_changes = valveDifferences(job, stack.valve());
        if (!saved.valve_changes.empty() && !valve_too) {
            throw InputError(fmt::format("the stack is for another valve than job '{}' has: {}; --valve-too "
                                         "takes its sizes over, --rows sets the rows alone",
                                         job.code, fmt::join(saved.valve_changes, "; ")));
        }
        if (!saved.valve_changes.empty()) {
            inventory::Job wanted = job;
            const planner::ValveGeometry& valve = stack.valve();
            wanted.valve = {job.valve.name,
                            valve.clamp_od,
                            valve.port_inner_diameter,
                            valve.port_outer_diameter,
                            valve.shim_id,
                            valve.seat_diameter,
                            {}};
            if (valve.preload > Length()) wanted.valve.preload = valve.preload;
            // The old target need not be possible on the new valve: it goes first.
            inventory::JobBook(shop).setStack(code, {inventory::StackRole::target, 0, {}});
            changeJob(shop, job, wanted);
        }
        const SavedTarget alone = saveTarget(shop, code, rows);
        saved.rows = alone.rows;
        saved.changed = alone.changed || !saved.valve_changes.empty();
    });
    return saved;
}

SavedTarget saveTarget(inventory::ShopFile& shop, std::string_view code,
                       const std::vector<inventory::StackRow>& rows) {
    SavedTarget saved;
    shop.atomically([&] {
        inventory::JobBook book(shop);
        const inventory::Job job = book.get(code);
        mustTakeTarget(shop, job);
        static_cast<void>(plannerStack(job, rows));
        saved.rows = rows;
        saved.changed = targetRows(shop, code) != rows;
        if (saved.changed) book.setStack(code, {inventory::StackRole::target, 0, rows});
    });
    return saved;
}

} // namespace shimledger::services
