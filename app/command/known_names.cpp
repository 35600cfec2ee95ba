// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"

#include "app/services/near_thing.h"
#include "app/services/scan.h"
#include "inventory/bin.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/purchase_orders.h"
#include "inventory/recipe.h"
#include "inventory/reorder_class.h"
#include "inventory/supplier.h"
#include "planner/units/input_error.h"
#include "planner/units/near_name.h"

#include <algorithm>
#include <set>

namespace shimledger::command {

namespace {

template <typename Things, typename Name>
std::vector<std::string> namesOf(const Things& things, Name name) {
    std::set<std::string> names; // each once
    for (const auto& thing : things) names.insert(thing.*name);
    names.erase(std::string());
    return {names.begin(), names.end()};
}

constexpr std::size_t most_shown = 60;

std::string inMarks(const std::string& name) {
    std::string shown = name.substr(0, most_shown);
    std::replace_if(
        shown.begin(), shown.end(), [](unsigned char c) { return c < 0x20; }, ' ');
    return "'" + shown + (name.size() > most_shown ? "..." : "") + "'";
}

} // namespace

void mustBeAmong(const char* noun, const std::string& name, const std::vector<std::string>& known,
                 const std::string& otherwise) {
    if (name.empty() || std::find(known.begin(), known.end(), name) != known.end()) return;
    throw InputError(std::string("there is no ") + noun + " " + inMarks(name) +
                     nearNameText(name, known, otherwise));
}

void mustBeJob(inventory::ShopFile& shop, const std::string& code) {
    if (code.empty() || inventory::JobBook(shop).find(code)) return;
    mustBeAmong("job", code, namesOf(inventory::JobBook(shop).list(), &inventory::Job::code),
                "'job list' names all");
}

void mustBePart(inventory::ShopFile& shop, const std::string& code) {
    const inventory::PartCatalogue catalogue(shop);
    if (code.empty() || catalogue.find(code)) return;
    throw InputError("there is no part " + inMarks(code) +
                     services::nearThingText(code, catalogue.list(inventory::Retired::included),
                                             &inventory::Part::code, "'find' finds a part by its sizes"));
}

void mustBeCabinet(inventory::ShopFile& shop, const std::string& name) {
    const auto cabinets =
        namesOf(inventory::BinList(shop).list(inventory::Retired::included), &inventory::Bin::cabinet);
    std::string all;
    for (const std::string& cabinet : cabinets) all += (all.empty() ? "" : ", ") + cabinet;
    mustBeAmong("cabinet", name, cabinets,
                all.empty() ? std::string("the shop names no cabinets")
                            : "the cabinets are " + all.substr(0, 200));
}

void mustBeSupplier(inventory::ShopFile& shop, const std::string& name) {
    const inventory::SupplierList suppliers(shop);
    if (name.empty() || suppliers.find(name)) return;
    throw InputError("there is no supplier " + inMarks(name) +
                     services::nearThingText(name, suppliers.list(inventory::Retired::included),
                                             &inventory::Supplier::name, "'supplier list' names all"));
}

void mustBeOrder(inventory::ShopFile& shop, const std::string& code) {
    if (code.empty() || inventory::PurchaseOrders(shop).find(code)) return;
    mustBeAmong("order", code,
                namesOf(inventory::PurchaseOrders(shop).list(), &inventory::PurchaseOrder::code),
                "'order list --all' names all");
}

void mustBeModel(inventory::ShopFile& shop, const std::string& code, const char* otherwise) {
    const inventory::ComponentModels models(shop);
    if (code.empty() || models.find(code)) return;
    throw InputError("there is no model " + inMarks(code) +
                     services::nearThingText(code, models.list(inventory::Retired::included),
                                             &inventory::ComponentModel::code, otherwise));
}

void mustBeRecipe(inventory::ShopFile& shop, const std::string& name) {
    const inventory::RecipeList recipes(shop);
    if (name.empty() || recipes.find(name)) return;
    throw InputError("there is no recipe " + inMarks(name) +
                     services::nearThingText(name, recipes.list(inventory::Retired::included),
                                             &inventory::Recipe::name, "'recipe list' names all"));
}

void mustBePartClass(inventory::ShopFile& shop, const std::string& name) {
    auto known = namesOf(inventory::PartCatalogue(shop).list(), &inventory::Part::part_class);
    for (const auto& settings : inventory::ReorderClasses(shop).list()) known.push_back(settings.part_class);
    std::string all;
    for (const std::string& one : known) {
        if (!one.empty()) all += (all.empty() ? "" : ", ") + one;
    }
    mustBeAmong("class of parts", name, known,
                all.empty() ? std::string("no part of the catalogue has a class")
                            : "the classes are " + all.substr(0, 200));
}

std::vector<std::string> binCodes(inventory::ShopFile& shop, const std::vector<std::string>& typed) {
    std::vector<std::string> codes;
    codes.reserve(typed.size());
    for (const std::string& text : typed) codes.push_back(services::binOfScan(shop, text).code);
    return codes;
}

void mustBeBin(inventory::ShopFile& shop, const std::string& typed) {
    if (!typed.empty()) static_cast<void>(services::binOfScan(shop, typed));
}

} // namespace shimledger::command
