// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/bin.h"
#include "inventory/component_model.h"
#include "inventory/import/import_session.h"
#include "inventory/part_catalogue.h"
#include "inventory/part_kinds.h"
#include "inventory/reorder_class.h"
#include "inventory/supplier.h"

#include <algorithm>

namespace shimledger::inventory {

namespace {

constexpr int most_days = 3650;
constexpr std::int64_t most_pieces = 1'000'000'000;

} // namespace

void readSupplier(ImportSession& session, ImportRow& row) {
    Supplier supplier;
    supplier.name = row.filled("supplier");
    supplier.lead_time_days = row.small("lead_time_days", 0, most_days);
    supplier.currency = row.filled("currency");
    if (row.has("lead_time_spread_days")) {
        supplier.lead_time_spread_days = row.small("lead_time_spread_days", 0, most_days);
    }
    supplier.minimum_order = row.optionalMoney("minimum_order");
    supplier.freight = row.optionalMoney("freight");
    supplier.note = row.text("note");
    MasterSubject about;
    about.kind = MasterKind::supplier;
    about.supplier = supplier.name;
    const bool retired = readRetired(row);
    if (!row.good()) return;
    row.attempt([&] {
        SupplierList(session.shop).add(supplier);
        if (retired) stageRetired(session, about);
    });
}

void readBin(ImportSession& session, ImportRow& row) {
    Bin bin;
    bin.code = row.filled("bin");
    bin.cabinet = row.text("cabinet");
    bin.walking_order = row.whole("walking_order", 0, most_pieces);
    bin.note = row.text("note");
    MasterSubject about;
    about.kind = MasterKind::bin;
    about.bin = bin.code;
    const bool retired = readRetired(row);
    if (!row.good()) return;
    row.attempt([&] {
        BinList(session.shop).add(bin);
        if (retired) stageRetired(session, about);
    });
}

void readPart(ImportSession& session, ImportRow& row) {
    Part part;
    part.code = row.filled("part");
    part.kind = row.word("kind", parsePartKind);
    part.description = row.text("description");
    for (const SizeField& field : allSizeFields()) part.*field.member = row.optionalLength(field.column);
    part.size_code = row.text("size_code");
    part.material = row.text("material");
    part.hardness = row.text("hardness");
    part.coating = row.text("coating");
    if (row.has("unit")) part.unit = row.word("unit", parseQuantityUnit);
    part.part_class = row.text("class");
    part.reorder_point = row.optionalWhole("reorder_point", 0, most_pieces);
    if (row.has("shelf_life_months")) part.shelf_life_months = row.small("shelf_life_months", 1, 1200);
    part.note = row.text("note");
    MasterSubject about;
    about.kind = MasterKind::part;
    about.part = part.code;
    const bool retired = readRetired(row);
    if (!row.good()) return;
    row.attempt([&] {
        PartCatalogue(session.shop).add(part);
        if (retired) stageRetired(session, about);
    });
}

void readSupplierPart(ImportSession& session, ImportRow& row) {
    SupplierPart offer;
    offer.supplier = row.filled("supplier");
    offer.part = row.filled("part");
    offer.pack_size = row.whole("pack_size", 1, 1'000'000);
    offer.pack_price = row.money("pack_price");
    offer.supplier_code = row.text("supplier_code");
    offer.priced_on = row.optionalDate("priced_on");
    MasterSubject about;
    about.kind = MasterKind::offer;
    about.supplier = offer.supplier;
    about.part = offer.part;
    about.pack_size = offer.pack_size;
    const bool retired = readRetired(row);
    if (!row.good()) return;
    row.attempt([&] {
        SupplierList(session.shop).addOffer(offer);
        noteNewOffer(session, offer);
        if (retired) stageRetired(session, about);
    });
}

void readPriceBreak(ImportSession& session, ImportRow& row) {
    const std::string supplier = row.filled("supplier"), part = row.filled("part");
    const std::int64_t pack_size = row.whole("pack_size", 1, 1'000'000);
    PriceBreak step;
    step.from_packs = row.whole("from_packs", 2, 1'000'000);
    step.pack_price = row.money("pack_price");
    if (!row.good()) return;
    row.attempt([&] {
        SupplierList list(session.shop);
        if (!wasOffered(session, supplier, part, pack_size)) {
            list.addPriceBreak(supplier, part, pack_size, step);
            return;
        }
        SupplierPart offer = list.getOffer(supplier, part, pack_size);
        offer.breaks.push_back(step);
        list.updateOffer(offer);
    });
}

void readReorderClass(ImportSession& session, ImportRow& row) {
    ReorderClass settings;
    settings.part_class = row.text("class");
    settings.service_per_mille = row.small("service_per_mille", 1, 999);
    settings.review_days = row.small("review_days", 0, 365);
    settings.line_cost = row.money("line_cost");
    settings.holding_percent = row.small("holding_percent", 1, 100);
    settings.cover_months = row.small("cover_months", 1, 120);
    settings.dead_months = row.small("dead_months", 1, 120);
    if (!row.good()) return;
    row.attempt([&] {
        ReorderClasses classes(session.shop);
        const std::vector<ReorderClass> known = classes.list();
        const bool was_there = std::any_of(known.begin(), known.end(), [&](const ReorderClass& one) {
            return one.part_class == settings.part_class;
        });
        if (!was_there) session.new_classes.insert(settings.part_class);
        classes.set(settings);
    });
}

void readComponentModel(ImportSession& session, ImportRow& row) {
    ComponentModel model;
    model.code = row.filled("model");
    model.kind = row.word("kind", parseComponentKind);
    model.description = row.text("description");
    model.legs = row.small("legs", 1, 4);
    model.note = row.text("note");
    MasterSubject about;
    about.kind = MasterKind::model;
    about.model = model.code;
    const bool retired = readRetired(row);
    if (!row.good()) return;
    row.attempt([&] {
        ComponentModels(session.shop).add(model);
        if (retired) stageRetired(session, about);
    });
}

void readModelConsumable(ImportSession& session, ImportRow& row) {
    const std::string model = row.filled("model");
    ModelConsumable consumable;
    consumable.part = row.filled("part");
    consumable.quantity_per_leg = row.whole("quantity_per_leg", 1, most_pieces);
    consumable.note = row.text("note");
    if (!row.good()) return;
    row.attempt([&] {
        ComponentModels models(session.shop);
        if (!modelWasThere(session, model)) {
            models.addConsumable(model, consumable);
            return;
        }
        ComponentModel known = models.get(model);
        known.consumables.push_back(consumable);
        models.update(known);
    });
}

} // namespace shimledger::inventory
