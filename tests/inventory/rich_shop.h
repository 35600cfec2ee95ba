// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support.h"

#include "inventory/job_valves.h"
#include "inventory/model_flow.h"
#include "inventory/purchase_orders.h"
#include "inventory/recipe.h"
#include "inventory/reorder_class.h"
#include "inventory/stack_try.h"
#include "inventory/strip_record.h"
#include "inventory/thickness_reading.h"
#include "inventory/wear_finding.h"

namespace shimledger::inventory {

/// A small shop that has something of everything: parts of every kind of use, two suppliers with packs, jobs
/// in every state with their stacks, an order half received, readings, and every kind of movement. The clock
/// stands still. The schema fixtures of tests/inventory/data are made from it.
inline void fillRichShop(ShopFile& shop) {
    fillSmallShop(shop);
    PartCatalogue parts(shop);
    for (const char* thickness : {"0.05", "0.20", "0.30"}) {
        parts.add(shimPart(std::string("S22-") + thickness, "22", thickness));
    }
    Part ring;
    ring.code = "RING";
    ring.kind = PartKind::oRing;
    ring.description = "O-ring \xc3\xb8 12.42 x 1.78, \"generic\"";
    ring.id = Length::parseMillimetres("12.42");
    ring.section = Length::parseMillimetres("1.78");
    ring.size_code = "014";
    ring.material = "NBR";
    ring.hardness = "70";
    ring.shelf_life_months = 84;
    ring.reorder_point = 6;
    parts.add(ring);
    Part bushing;
    bushing.code = "BUSH";
    bushing.kind = PartKind::bushing;
    bushing.description = "bushing";
    bushing.id = Length::parseMillimetres("48");
    bushing.od = Length::parseMillimetres("51");
    bushing.length = Length::parseMillimetres("15");
    bushing.coating = "PTFE";
    parts.add(bushing);
    Part oil;
    oil.code = "OIL";
    oil.kind = PartKind::fluid;
    oil.description = "oil, VG 15";
    oil.unit = QuantityUnit::millilitre;
    parts.add(oil);
    SupplierList suppliers(shop);
    suppliers.add({"Invented Rubber", 12, "EUR", 3, 5'000, 690, "invented, as all here"});
    suppliers.addOffer({"Invented Discs", "S24-10", 10, 410, "D-24-10", CalendarDate::parse("2026-02-01")});
    suppliers.addOffer({"Invented Discs", "S24-10", 50, 1'750, "D-24-10L", {}});
    suppliers.addOffer({"Invented Rubber", "RING", 25, 300, "", {}});
    ComponentModel shock;
    shock.code = "SHOCK";
    shock.kind = ComponentKind::shock;
    shock.description = "invented shock";
    shock.legs = 1;
    ComponentModels models(shop);
    models.add(shock);
    models.addConsumable("FORK", {"SEAL", 1, "always"});
    models.addConsumable("FORK", {"OIL", 450, ""});

    JobBook jobs(shop);
    for (const char* code : {"J3", "J4", "J5"}) {
        Job job = plainJob(code);
        job.customer = std::string("Customer of ") + code + ", invented";
        job.due = CalendarDate::parse("2026-04-01");
        job.priority = 3;
        jobs.add(job);
    }
    const auto row = [](std::int64_t count, const char* od, const char* thickness,
                        std::optional<int> replaces) {
        return StackRow{count, Length::parseMillimetres(od), Length::parseMillimetres(thickness), replaces};
    };
    jobs.setStack("J1", {StackRole::asFound, 1, {row(4, "24", "0.098", {}), row(2, "22", "0.2", {})}});
    jobs.setStack("J1", {StackRole::asFound, 2, {row(4, "24", "0.1", {}), row(1, "22", "0.2", {})}});
    jobs.setStack("J1", {StackRole::target, 0, {row(4, "24", "0.1", {}), row(2, "22", "0.2", {})}});
    jobs.setStack(
        "J1",
        {StackRole::build, 0, {row(3, "24", "0.1", {}), row(1, "24", "0.15", 1), row(2, "22", "0.2", {})}});
    jobs.setConsumables("J1", {{"SEAL", 2, "worn"}, {"RING", 4, ""}});

    StockLedger ledger(shop);
    PurchaseOrders orders(shop);
    PurchaseOrder order{"PO-1", "Invented Discs", test_time, false, "half of it came", {}};
    order.lines.push_back({0, "S24-10", 4, 10, 410, 0});
    order.lines.push_back({0, "S24-15", 1, 10, 520, 0});
    const std::int64_t line = orders.place(order).lines.front().number;
    orders.place({"PO-2", "Invented Rubber", test_time, false, "", {{0, "RING", 2, 25, 300, 0}}});
    orders.close("PO-2");
    MovementLine delivery = movement(MovementKind::receipt, "S24-10", "A1", 20);
    delivery.supplier = "Invented Discs";
    delivery.order_line = line;
    ledger.post({delivery, movement(MovementKind::receipt, "S24-15", "A2", 12),
                 movement(MovementKind::receipt, "OIL", "B1", 5'000),
                 movement(MovementKind::receipt, "SEAL", "B1", 6),
                 movement(MovementKind::receipt, "S22-0.20", "A2", 9)});
    MovementLine move = movement(MovementKind::move, "S24-10", "A1", 2);
    move.to_bin = "A2";
    ledger.post({move});
    const PostedBatch slip = ledger.post({movement(MovementKind::scrap, "SEAL", "B1", 2)});
    ledger.reverse(slip.movements.front(), "slip of the pen");
    ledger.post(
        {movement(MovementKind::scrap, "SEAL", "B1", 1), movement(MovementKind::count, "S22-0.20", "A2", 8)});
    ledger.reserve(
        "J1", {{"S24-10", "A1", Condition::fresh, 6, ""}, {"S24-15", "A2", Condition::fresh, 2, "S24-10"}});
    ledger.reserve("J3", {{"S24-10", "A1", Condition::fresh, 3, ""}});
    ledger.pullAll("J3");
    MovementLine reclaimed = movement(MovementKind::returned, "S24-10", "A1", 2, "J3");
    reclaimed.condition = Condition::used;
    ledger.post({movement(MovementKind::returned, "S24-10", "A1", 1, "J3"), reclaimed});
    ledger.reserve("J4", {{"SEAL", "B1", Condition::fresh, 2, ""}});
    ledger.post({movement(MovementKind::release, "SEAL", "B1", 1, "J4")});
    jobs.close("J4");
    jobs.cancel("J5");
    for (const char* reading : {"0.097", "0.098", "0.098"}) {
        addReading(shop, {"S24-10", "A1", Condition::used, Length::parseMillimetres(reading), test_time});
    }
}

/// What the files of schema 2 and later hold beside it: a strip sheet and an inspection of job J2.
inline void addStripAndInspection(ShopFile& shop) {
    StripSheet sheet;
    sheet.job = "J2";
    sheet.leg = 1;
    sheet.utc = test_time;
    sheet.rows.push_back(
        {4, Length::parseMillimetres("24"), {Length::parseMillimetres("0.099")}, "S24-10", 1, "bent", "A1"});
    sheet.rows.push_back(
        {2, Length::parseMillimetres("22"), {Length::parseMillimetres("0.201")}, "", 0, "", ""});
    StripRecords(shop).set(sheet);
    WearFinding finding;
    finding.job = "J2";
    finding.part = "BUSH";
    finding.leg = 1;
    finding.worn_percent = 40;
    finding.decision = WearDecision::defer;
    finding.reason = "customer's wish";
    finding.utc = test_time;
    WearBook(shop).record(finding);
}

/// What the files of schema 3 and later hold beside it: a class of ordering and a price break.
inline void addOrdering(ShopFile& shop) {
    ReorderClass settings;
    settings.part_class = "fast";
    settings.service_per_mille = 980;
    ReorderClasses(shop).set(settings);
    SupplierList(shop).addPriceBreak("Invented Discs", "S24-10", 10, {5, 380});
}

/// What the files of schema 5 and later hold beside it: a model's valve, data that was changed, a retired
/// bin.
inline void addOwnData(ShopFile& shop) {
    ComponentModels models(shop);
    ComponentModel fork = models.get("FORK");
    fork.valves.push_back(plainJob("J1").valve);
    models.update(fork);
    PartCatalogue parts(shop);
    Part part = parts.get("S24-10");
    part.reorder_point = 12;
    parts.update(part);
    SupplierList suppliers(shop);
    SupplierPart offer = suppliers.getOffer("Invented Discs", "S24-10", 10);
    offer.pack_price = 420;
    offer.breaks = {{5, 390}};
    suppliers.updateOffer(offer);
    BinList bins(shop);
    bins.add({"C1", "C", 30, ""});
    bins.retire("C1");
}

/// What the files of schema 6 and later hold beside it: the flow of a valve.
inline void addFlow(ShopFile& shop) {
    ModelFlow flow{"FORK", plainJob("J1").valve.name};
    flow.piston = Length::parseMillimetres("28");
    flow.shaft = Length::parseMillimetres("12");
    flow.port_area_mm2 = Decimal::parse("61.5");
    flow.adjuster = parseAdjuster("0=0 4=0.8 8=1.25");
    flow.click = 4;
    flow.temperature_c = Decimal::parse("-5.5");
    ModelFlows(shop).update(flow);
}

/// What the files of schema 7 and later hold beside it: the lift that a valve works in, and tries.
inline void addTries(ShopFile& shop) {
    ModelFlow flow = ModelFlows(shop).get("FORK", plainJob("J1").valve.name);
    flow.working_lift = Length::parseMillimetres("0.45");
    ModelFlows(shop).update(flow);
    const std::vector<StackRow> rows{
        {3, Length::parseMillimetres("24"), Length::parseMillimetres("0.1"), {}},
        {1, Length::parseMillimetres("22"), Length::parseMillimetres("0.2"), {}}};
    StackTries tries(shop);
    tries.add({"J2", "before", "", TryUse::base, "", "", test_time, rows});
    tries.add({"J2", "softer, \"low\"", "0:0.9,0.2:1", TryUse::target, "before", "A. B.", test_time, rows,
               Length::parseMillimetres("11")});
}

/// What the files of schema 8 and later hold beside it: a second valve of a job's component, in one leg.
inline void addFurtherValve(ShopFile& shop) {
    JobValve rebound = plainJob("J2").valve;
    rebound.name = "rebound";
    const std::string code = addJobValve(shop, "J2", rebound, 2, 1);
    JobBook(shop).setStack(
        code,
        {StackRole::target, 0, {{2, Length::parseMillimetres("24"), Length::parseMillimetres("0.15"), {}}}});
}

/// What the files of schema 8 and later hold beside it: recipes, one changed, one retired.
inline void addRecipes(ShopFile& shop) {
    const JobValve valve = plainJob("J1").valve;
    Recipe recipe{"trail, \"soft\"",
                  Decimal::parse("6.5"),
                  2,
                  "FORK",
                  valve.name,
                  valve.clamp_od,
                  valve.port_inner_diameter,
                  valve.port_outer_diameter,
                  valve.shim_id,
                  {},
                  {},
                  parseRecipeStack("4 x 24 x 0.10; 1 x 18 x 0.15; 1 x 16 x 0.1 ring 12")};
    RecipeList recipes(shop);
    recipes.add(recipe);
    recipe.jobs_a_year = Decimal::parse("8");
    recipe.note = "=more of them";
    recipes.update(recipe);
    recipes.add({"race", Decimal(), 1, "", "", valve.clamp_od, valve.port_inner_diameter,
                 valve.port_outer_diameter, valve.shim_id, Length::parseMillimetres("20.5"),
                 Length::parseMillimetres("0.05"), parseRecipeStack("1 x 24 x 0.2")});
    recipes.retire("race");
}

} // namespace shimledger::inventory
