// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/import/export_tables.h"
#include "inventory/bin.h"
#include "inventory/component_model.h"
#include "inventory/csv_writer.h"
#include "inventory/job_book.h"
#include "inventory/master_changes.h"
#include "inventory/master_fields.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/purchase_orders.h"
#include "inventory/reorder_class.h"
#include "inventory/stack_try.h"
#include "inventory/stock_history.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/supplier.h"

#include <array>

namespace shimledger::inventory {

namespace {

std::string money(std::optional<Hundredths> amount) {
    return amount ? moneyText(*amount) : std::string();
}
std::string day(std::optional<CalendarDate> date) {
    return date ? date->text() : std::string();
}
/// Empty where it is not: most are not.
std::string retiredWord(bool retired) {
    return retired ? "yes" : "";
}

void writeSuppliers(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"supplier", "lead_time_days", "currency", "lead_time_spread_days", "minimum_order", "freight",
             "note", "retired"});
    for (const Supplier& s : SupplierList(shop).list(Retired::included)) {
        csv.row({s.name, std::to_string(s.lead_time_days), s.currency, csvWhole(s.lead_time_spread_days),
                 money(s.minimum_order), money(s.freight), s.note, retiredWord(s.retired)});
    }
}

void writeBins(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"bin", "cabinet", "walking_order", "note", "retired"});
    for (const Bin& bin : BinList(shop).list(Retired::included)) {
        csv.row(
            {bin.code, bin.cabinet, std::to_string(bin.walking_order), bin.note, retiredWord(bin.retired)});
    }
}

void writeParts(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"part", "kind", "description", "od_mm", "id_mm", "thickness_mm", "section_mm", "length_mm",
             "size_code", "material", "hardness", "coating", "unit", "class", "reorder_point",
             "shelf_life_months", "note", "retired"});
    for (const Part& p : PartCatalogue(shop).list(Retired::included)) {
        csv.row({p.code, std::string(partKindName(p.kind)), p.description, csvLength(p.od), csvLength(p.id),
                 csvLength(p.thickness), csvLength(p.section), csvLength(p.length), p.size_code, p.material,
                 p.hardness, p.coating, std::string(quantityUnitName(p.unit)), p.part_class,
                 csvWhole(p.reorder_point), csvWhole(p.shelf_life_months), p.note, retiredWord(p.retired)});
    }
}

void writeSupplierParts(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"supplier", "part", "pack_size", "pack_price", "supplier_code", "priced_on", "retired"});
    for (const SupplierPart& o : SupplierList(shop).offers(Retired::included)) {
        csv.row({o.supplier, o.part, std::to_string(o.pack_size), moneyText(o.pack_price), o.supplier_code,
                 day(o.priced_on), retiredWord(o.retired)});
    }
}

void writePriceBreaks(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"supplier", "part", "pack_size", "from_packs", "pack_price"});
    for (const SupplierPart& o : SupplierList(shop).offers(Retired::included)) {
        for (const PriceBreak& step : o.breaks) {
            csv.row({o.supplier, o.part, std::to_string(o.pack_size), std::to_string(step.from_packs),
                     moneyText(step.pack_price)});
        }
    }
}

void writeReorderClasses(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"class", "service_per_mille", "review_days", "line_cost", "holding_percent", "cover_months",
             "dead_months"});
    for (const ReorderClass& c : ReorderClasses(shop).list()) {
        csv.row({c.part_class, std::to_string(c.service_per_mille), std::to_string(c.review_days),
                 moneyText(c.line_cost), std::to_string(c.holding_percent), std::to_string(c.cover_months),
                 std::to_string(c.dead_months)});
    }
}

void writeModels(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"model", "kind", "description", "legs", "note", "retired"});
    for (const ComponentModel& m : ComponentModels(shop).list(Retired::included)) {
        csv.row({m.code, std::string(componentKindName(m.kind)), m.description, std::to_string(m.legs),
                 m.note, retiredWord(m.retired)});
    }
}

void writeModelValves(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"model", "valve", "clamp_od_mm", "port_inner_diameter_mm", "port_outer_diameter_mm",
             "shim_id_mm", "seat_diameter_mm", "preload_mm"});
    for (const ComponentModel& m : ComponentModels(shop).list(Retired::included)) {
        for (const JobValve& v : m.valves) {
            csv.row({m.code, v.name, csvLength(v.clamp_od), csvLength(v.port_inner_diameter),
                     csvLength(v.port_outer_diameter), csvLength(v.shim_id), csvLength(v.seat_diameter),
                     csvLength(v.preload)});
        }
    }
}

void writeModelFlows(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    std::vector<std::string> cells{"model", "valve"};
    for (const MasterField<ModelFlow>& field : fieldsOf<ModelFlow>()) cells.emplace_back(field.name);
    csv.row(cells);
    for (const ModelFlow& flow : ModelFlows(shop).list()) {
        cells = {flow.model, flow.valve};
        for (const MasterField<ModelFlow>& field : fieldsOf<ModelFlow>()) cells.push_back(field.text(flow));
        csv.row(cells);
    }
}

void writeRecipes(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    std::vector<std::string> cells{"recipe"};
    for (const MasterField<Recipe>& field : fieldsOf<Recipe>()) cells.emplace_back(field.name);
    csv.row(cells);
    for (const Recipe& recipe : RecipeList(shop).list(Retired::included)) {
        cells = {recipe.name};
        for (const MasterField<Recipe>& field : fieldsOf<Recipe>())
            cells.push_back(field.name == "retired" ? retiredWord(recipe.retired) : field.text(recipe));
        csv.row(cells);
    }
}

void writeModelConsumables(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"model", "part", "quantity_per_leg", "note"});
    for (const ComponentModel& m : ComponentModels(shop).list(Retired::included)) {
        for (const ModelConsumable& c : m.consumables) {
            csv.row({m.code, c.part, std::to_string(c.quantity_per_leg), c.note});
        }
    }
}

void writeJobs(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"job",
             "customer",
             "model",
             "valve",
             "legs",
             "opened",
             "clamp_od_mm",
             "port_inner_diameter_mm",
             "port_outer_diameter_mm",
             "shim_id_mm",
             "seat_diameter_mm",
             "preload_mm",
             "due",
             "priority",
             "status",
             "note",
             "component",
             "ended_utc",
             "valve_of",
             "first_leg"});
    for (const Job& j : JobBook(shop).list()) {
        csv.row({j.code,
                 j.customer,
                 j.model,
                 j.valve.name,
                 std::to_string(j.legs),
                 j.opened.text(),
                 csvLength(j.valve.clamp_od),
                 csvLength(j.valve.port_inner_diameter),
                 csvLength(j.valve.port_outer_diameter),
                 csvLength(j.valve.shim_id),
                 csvLength(j.valve.seat_diameter),
                 csvLength(j.valve.preload),
                 day(j.due),
                 std::to_string(j.priority),
                 std::string(jobStatusName(j.status)),
                 j.note,
                 j.component,
                 j.ended ? j.ended->text() : std::string(),
                 j.valve_of,
                 std::to_string(j.first_leg)});
    }
}

void writeJobStacks(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"job", "role", "leg", "position", "count", "od_mm", "thickness_mm", "replaces", "clamp_od_mm"});
    const JobBook book(shop);
    for (const Job& job : book.list()) {
        for (const JobStack& stack : book.stacks(job.code)) {
            int position = 0;
            for (const StackRow& row : stack.rows) {
                csv.row({job.code, std::string(stackRoleName(stack.role)), std::to_string(stack.leg),
                         std::to_string(++position), std::to_string(row.count), csvLength(row.od),
                         csvLength(row.thickness), csvWhole(row.replaces), csvLength(stack.clamp_od)});
            }
        }
    }
}

void writeJobTries(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"job", "try", "wanted", "kept_as", "held_against", "made_by", "made_utc", "clamp_od_mm",
             "position", "count", "od_mm", "thickness_mm"});
    const StackTries tries(shop);
    for (const Job& job : JobBook(shop).list()) {
        for (const StackTry& tried : tries.ofJob(job.code)) {
            int position = 0;
            for (const StackRow& row : tried.rows) {
                csv.row({job.code, tried.name, tried.wanted, std::string(tryUseName(tried.kept_as)),
                         tried.base, tried.made_by, tried.made.text(), csvLength(tried.clamp_od),
                         std::to_string(++position), std::to_string(row.count), csvLength(row.od),
                         csvLength(row.thickness)});
            }
        }
    }
}

void writeJobConsumables(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"job", "part", "quantity", "reason"});
    const JobBook book(shop);
    for (const Job& job : book.list()) {
        for (const JobConsumable& c : book.consumables(job.code)) {
            csv.row({job.code, c.part, std::to_string(c.quantity), c.reason});
        }
    }
}

void writeOrders(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"order", "supplier", "ordered_utc", "closed", "note"});
    for (const PurchaseOrder& o : PurchaseOrders(shop).list()) {
        csv.row({o.code, o.supplier, o.ordered.text(), o.closed ? "yes" : "no", o.note});
    }
}

void writeOrderLines(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"order", "order_line", "part", "packs", "pack_size", "pack_price"});
    for (const PurchaseOrder& o : PurchaseOrders(shop).list()) {
        for (const OrderLine& line : o.lines) {
            csv.row({o.code, std::to_string(line.number), line.part, std::to_string(line.packs),
                     std::to_string(line.pack_size), moneyText(line.pack_price)});
        }
    }
}

// A move is one line here and two in the ledger, so its second half and the undoing of that are left out:
// the import makes them again.
bool isSecondHalf(const LedgerEntry& entry) {
    if (entry.other_bin.empty()) return false;
    return entry.kind == MovementKind::reversal ? entry.on_hand_change < 0 : entry.on_hand_change > 0;
}

void writeMovements(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"utc", "movement", "part", "bin", "condition", "quantity", "to_bin", "job", "reason", "supplier",
             "wanted_part", "order_line", "number", "batch", "reverses"});
    StockHistory(shop).forEach([&](const LedgerEntry& e) {
        if (isSecondHalf(e)) return;
        csv.row({e.utc.text(), std::string(movementKindName(e.kind)), e.part, e.bin,
                 std::string(conditionName(e.condition)), std::to_string(e.quantity),
                 e.kind == MovementKind::move ? e.other_bin : std::string(), e.job, e.reason, e.supplier,
                 e.wanted_part, csvWhole(e.order_line), std::to_string(e.number), std::to_string(e.batch),
                 csvWhole(e.reverses)});
    });
}

void writeReadings(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"part", "bin", "condition", "utc", "reading_mm"});
    Query query(shop.connection(), "SELECT p.code, b.code, r.condition, r.utc, r.thickness_um FROM readings "
                                   "r JOIN parts p USING (part_id) "
                                   "JOIN bins b USING (bin_id) ORDER BY r.reading_id");
    while (query.next()) {
        csv.row({query.text(0), query.text(1), std::string(conditionName(conditionOf(query.integer(2)))),
                 query.text(3), csvLength(query.length(4))});
    }
}

void writeMasterChanges(ShopFile& shop, std::ostream& out) {
    CsvWriter csv(out);
    csv.row({"utc", "kind", "part", "bin", "supplier", "model", "pack_size", "class", "recipe", "field",
             "item", "before", "after"});
    MasterHistory(shop).forEach([&](const MasterChange& c) {
        const MasterSubject& about = c.about;
        csv.row({c.utc.text(), std::string(masterKindName(about.kind)), about.part, about.bin, about.supplier,
                 about.model, about.pack_size > 0 ? std::to_string(about.pack_size) : std::string(),
                 about.part_class, about.recipe, c.field, c.item, c.before, c.after});
    });
}

} // namespace

std::span<const ExportTable> exportTables() {
    static constexpr std::array<ExportTable, 22> tables{{{"suppliers.csv", writeSuppliers},
                                                         {"bins.csv", writeBins},
                                                         {"parts.csv", writeParts},
                                                         {"supplier_parts.csv", writeSupplierParts},
                                                         {"price_breaks.csv", writePriceBreaks},
                                                         {"reorder_classes.csv", writeReorderClasses},
                                                         {"component_models.csv", writeModels},
                                                         {"model_consumables.csv", writeModelConsumables},
                                                         {"model_valves.csv", writeModelValves},
                                                         {"model_flows.csv", writeModelFlows},
                                                         {"recipes.csv", writeRecipes},
                                                         {"jobs.csv", writeJobs},
                                                         {"job_stacks.csv", writeJobStacks},
                                                         {"job_tries.csv", writeJobTries},
                                                         {"job_consumables.csv", writeJobConsumables},
                                                         {"strip_rows.csv", writeStripRows},
                                                         {"wear_findings.csv", writeWearFindings},
                                                         {"purchase_orders.csv", writeOrders},
                                                         {"order_lines.csv", writeOrderLines},
                                                         {"movements.csv", writeMovements},
                                                         {"readings.csv", writeReadings},
                                                         {"master_changes.csv", writeMasterChanges}}};
    return tables;
}

} // namespace shimledger::inventory
