// SPDX-License-Identifier: GPL-3.0-or-later
// Options of part, bin, supplier, model and recipe: those of their fields follow from
// inventory/master_fields.h.
#include "app/command/master_command_line.h"

#include "app/command/master_fields_typed.h"
#include "app/command/verb_adder.h"
#include "inventory/part_kinds.h"

#include <algorithm>
#include <initializer_list>
#include <string_view>
#include <type_traits>

namespace shimledger::command {

namespace {

using Run = int (*)(const MasterVerb&, Streams&);

/// "shim (--od, --id, --thickness), bushing (...", as the kinds are declared.
std::string kindsHelp() {
    std::string text;
    for (const inventory::PartKindRule& rule : inventory::allPartKinds()) {
        std::string sizes = rule.needs_od_or_id ? "--od or --id" : "";
        for (const inventory::SizeField* size : rule.needs)
            sizes += (sizes.empty() ? "" : ", ") + optionOf(size->column);
        text += (text.empty() ? "" : ", ") + std::string(rule.name);
        if (!sizes.empty()) text += " (" + sizes + ")";
    }
    return text;
}

/// Makes the verbs below one group, each with a struct of its own.
class MasterGroup {
public:
    MasterGroup(std::list<MasterVerb>& verbs, const VerbAdder& adder, CLI::App& group)
        : m_verbs(verbs), m_adder(adder), m_group(group) {}

    CLI::App* add(const char* name, const char* help, Run run) {
        return m_adder.add(m_group, name, help, m_verbs.emplace_back(), run);
    }
    [[nodiscard]] MasterVerb& last() const { return m_verbs.back(); }

    /// An option for every field; those of `needed` must be typed.
    template <class Thing>
    void addFieldsOf(CLI::App* sub, std::initializer_list<std::string_view> needed, bool may_be_none) const {
        for (const inventory::MasterField<Thing>& field : inventory::fieldsOf<Thing>()) {
            if (field.name == "retired") continue;
            std::string help(field.help);
            if (std::is_same_v<Thing, inventory::Part> && field.name == "kind") help = kindsHelp();
            if (may_be_none && !field.needed) help += ", or none";
            CLI::Option* option =
                sub->add_option(optionOf(field.name), last().values[std::string(field.name)], help);
            if (std::find(needed.begin(), needed.end(), field.name) != needed.end()) option->required();
        }
    }

    void addLists(CLI::App* sub) const {
        sub->add_flag("--retired", last().retired, "Those that are retired too");
        sub->add_flag("--json", last().json, "Write JSON");
    }

private:
    std::list<MasterVerb>& m_verbs;
    const VerbAdder& m_adder;
    CLI::App& m_group;
};

void addParts(CLI::App& app, std::list<MasterVerb>& verbs, const VerbAdder& adder) {
    MasterGroup group(verbs, adder,
                      *addGroup(app, "part", "Add, change, retire and list the catalogue's parts"));
    CLI::App* sub = group.add("add", "A new part; which sizes it needs, its kind says", &runPartAdd);
    sub->add_option("--part", group.last().part, "Its code (default: after kind and sizes)");
    sub->add_option("--standard", group.last().standard,
                    "An O-ring of ISO 3601-1 or JIS B 2401-1 by its size code, such as 210 or P18");
    group.addFieldsOf<inventory::Part>(sub, {}, false);
    sub = group.add("change", "Change what is said of a part; its history keeps what stood there",
                    &runPartChange);
    sub->add_option("--part", group.last().part, "Part")->required();
    group.addFieldsOf<inventory::Part>(sub, {}, true);
    sub = group.add("retire", "Nothing new of it comes in; what is there can be used up", &runPartRetire);
    sub->add_option("--part", group.last().part, "Part")->required();
    sub = group.add("bring-back", "It is a part like others again", &runPartBringBack);
    sub->add_option("--part", group.last().part, "Part")->required();
    sub = group.add("list", "All parts, or those of one kind", &runPartList);
    sub->add_option("--kind", group.last().values["kind"], "Only this kind: shim, o_ring ...");
    group.addLists(sub);
}

void addBins(CLI::App& app, std::list<MasterVerb>& verbs, const VerbAdder& adder) {
    MasterGroup group(verbs, adder, *addGroup(app, "bin", "Add, change, retire and list the drawers' bins"));
    constexpr const char* which = "Bin, typed or scanned, or a series A01..A52";
    CLI::App* sub = group.add("add", "A new bin, or a series of them", &runBinAdd);
    sub->add_option("--bin", group.last().bin, "Its code, or a series A01..A52")->required();
    group.addFieldsOf<inventory::Bin>(sub, {}, false);
    sub = group.add("change", "Change what is said of a bin; its history keeps what stood there",
                    &runBinChange);
    sub->add_option("--bin", group.last().bin, which)->required();
    group.addFieldsOf<inventory::Bin>(sub, {}, true);
    sub = group.add("retire", "Nothing is put into it any more; what lies there can be taken out",
                    &runBinRetire);
    sub->add_option("--bin", group.last().bin, which)->required();
    sub = group.add("bring-back", "It is a bin like others again", &runBinBringBack);
    sub->add_option("--bin", group.last().bin, which)->required();
    sub = group.add("list", "All bins in walking order", &runBinList);
    sub->add_option("--cabinet", group.last().values["cabinet"], "Only this cabinet");
    group.addLists(sub);
}

void addOffers(CLI::App& supplier, std::list<MasterVerb>& verbs, const VerbAdder& adder) {
    MasterGroup group(verbs, adder,
                      *addGroup(supplier, "offer", "What a supplier offers: packs, prices, price breaks"));
    const auto addNames = [&](CLI::App* sub) {
        sub->add_option("--supplier", group.last().supplier, "Supplier")->required();
        sub->add_option("--part", group.last().part, "Part")->required();
        sub->add_option("--pack-size", group.last().pack_size, "Pieces in a pack (default: 1)");
    };
    CLI::App* sub = group.add("add", "A new offer", &runOfferAdd);
    addNames(sub);
    group.addFieldsOf<inventory::SupplierPart>(sub, {"pack_price"}, false);
    sub->add_option("--break", group.last().breaks, "PACKS=PRICE: from so many packs on (repeat)");
    sub = group.add("change", "Change an offer; a price without a day is of today", &runOfferChange);
    addNames(sub);
    group.addFieldsOf<inventory::SupplierPart>(sub, {}, true);
    sub->add_option("--break", group.last().breaks, "PACKS=PRICE: all price breaks anew (repeat), or none");
    sub = group.add("retire", "The offer holds no more", &runOfferRetire);
    addNames(sub);
    sub = group.add("bring-back", "The offer holds again", &runOfferBringBack);
    addNames(sub);
    sub = group.add("list", "Offers by supplier and part", &runOfferList);
    sub->add_option("--supplier", group.last().supplier, "Only this supplier");
    sub->add_option("--part", group.last().part, "Only this part");
    group.addLists(sub);
}

void addSuppliers(CLI::App& app, std::list<MasterVerb>& verbs, const VerbAdder& adder) {
    CLI::App* supplier = addGroup(app, "supplier", "Add, change, retire and list suppliers and their offers");
    MasterGroup group(verbs, adder, *supplier);
    CLI::App* sub = group.add("add", "A new supplier", &runSupplierAdd);
    sub->add_option("--supplier", group.last().supplier, "Its name")->required();
    group.addFieldsOf<inventory::Supplier>(sub, {"lead_time_days", "currency"}, false);
    sub = group.add("change", "Change what is said of a supplier; its history keeps what stood there",
                    &runSupplierChange);
    sub->add_option("--supplier", group.last().supplier, "Supplier")->required();
    group.addFieldsOf<inventory::Supplier>(sub, {}, true);
    sub = group.add("retire", "Nothing more is ordered from it", &runSupplierRetire);
    sub->add_option("--supplier", group.last().supplier, "Supplier")->required();
    sub = group.add("bring-back", "It is a supplier like others again", &runSupplierBringBack);
    sub->add_option("--supplier", group.last().supplier, "Supplier")->required();
    group.addLists(group.add("list", "All suppliers", &runSupplierList));
    addOffers(*supplier, verbs, adder);
}

void addModelParts(CLI::App& model, std::list<MasterVerb>& verbs, const VerbAdder& adder) {
    MasterGroup valves(verbs, adder, *addGroup(model, "valve", "The sizes of a model's valves"));
    const auto addValve = [&](CLI::App* sub) {
        sub->add_option("--model", valves.last().model, "Component model")->required();
        sub->add_option("--valve", valves.last().valve, "Valve: compression, rebound, base, mid ...")
            ->required();
    };
    CLI::App* sub = valves.add("set", "Add a valve, or change the sizes that are given", &runModelValveSet);
    addValve(sub);
    sub->add_option("--clamp-od", valves.last().clamp_od, "Clamp diameter, mm");
    sub->add_option("--port-inner", valves.last().port_inner, "Inner diameter of the ports, mm");
    sub->add_option("--port-outer", valves.last().port_outer, "Outer diameter of the ports, mm");
    sub->add_option("--shim-id", valves.last().shim_id, "Bore of the shims, mm");
    sub->add_option("--seat", valves.last().seat, "Diameter of the seat, mm, or none");
    sub->add_option("--preload", valves.last().preload, "Height of the seat above the clamp, mm, or none");
    addValve(valves.add("drop", "Take a valve off the model", &runModelValveDrop));

    MasterGroup flows(verbs, adder,
                      *addGroup(model, "flow", "What the oil meets in a model's valves beside the stack"));
    const auto addFlow = [&](CLI::App* one) {
        one->add_option("--model", flows.last().model, "Component model")->required();
        one->add_option("--valve", flows.last().valve, "Valve of the model")->required();
    };
    sub = flows.add("set", "Say what was measured of it; what is not typed stays", &runModelFlowSet);
    addFlow(sub);
    flows.addFieldsOf<inventory::ModelFlow>(sub, {}, true);
    addFlow(flows.add("drop", "Nothing of it is known any more", &runModelFlowDrop));

    MasterGroup parts(verbs, adder, *addGroup(model, "wear-part", "The wear parts that a model takes"));
    const auto addPart = [&](CLI::App* one) {
        one->add_option("--model", parts.last().model, "Component model")->required();
        one->add_option("--part", parts.last().part, "Part")->required();
    };
    sub = parts.add("set", "Add a wear part, or change how many it takes", &runModelWearPartSet);
    addPart(sub);
    sub->add_option("--quantity", parts.last().quantity, "Pieces, mm or ml per leg (new: 1)");
    sub->add_option("--note", parts.last().note, "Note, or none");
    addPart(parts.add("drop", "Take a wear part off the model", &runModelWearPartDrop));
}

void addModels(CLI::App& app, std::list<MasterVerb>& verbs, const VerbAdder& adder) {
    CLI::App* model = addGroup(app, "model", "Add, change, retire and list component models");
    MasterGroup group(verbs, adder, *model);
    CLI::App* sub = group.add("add", "A new component model", &runModelAdd);
    sub->add_option("--model", group.last().model, "Its code")->required();
    group.addFieldsOf<inventory::ComponentModel>(sub, {"kind"}, false);
    sub = group.add("change", "Change what is said of a model; its history keeps what stood there",
                    &runModelChange);
    sub->add_option("--model", group.last().model, "Component model")->required();
    group.addFieldsOf<inventory::ComponentModel>(sub, {}, true);
    sub = group.add("retire", "No job is opened for it any more", &runModelRetire);
    sub->add_option("--model", group.last().model, "Component model")->required();
    sub = group.add("bring-back", "It is a model like others again", &runModelBringBack);
    sub->add_option("--model", group.last().model, "Component model")->required();
    group.addLists(group.add("list", "All models with their valves and wear parts", &runModelList));
    addModelParts(*model, verbs, adder);
}

void addRecipes(CLI::App& app, std::list<MasterVerb>& verbs, const VerbAdder& adder) {
    MasterGroup group(
        verbs, adder,
        *addGroup(app, "recipe", "Stacks that are expected, with a number a year: kit counts with them"));
    CLI::App* sub = group.add("add", "A new recipe; sizes of the valve that are not given are the model's",
                              &runRecipeAdd);
    sub->add_option("--recipe", group.last().recipe, "Its name")->required();
    group.addFieldsOf<inventory::Recipe>(sub, {"jobs_a_year", "stack"}, false);
    sub = group.add("change", "Change what is said of a recipe; its history keeps what stood there",
                    &runRecipeChange);
    sub->add_option("--recipe", group.last().recipe, "Recipe")->required();
    group.addFieldsOf<inventory::Recipe>(sub, {}, true);
    sub = group.add("retire", "The kit counts with it no more", &runRecipeRetire);
    sub->add_option("--recipe", group.last().recipe, "Recipe")->required();
    sub = group.add("bring-back", "The kit counts with it again", &runRecipeBringBack);
    sub->add_option("--recipe", group.last().recipe, "Recipe")->required();
    group.addLists(group.add("list", "All recipes", &runRecipeList));
    sub = group.add("import", "Take recipes of a file in, all or none", &runRecipeImport);
    sub->add_option("FILE", group.last().file, "CSV or JSON, as kit --recipes reads it")->required();
    sub->add_flag("--change", group.last().change, "Change those that are there already");
    sub = group.add("from-jobs", "Make recipes of what jobs asked for", &runRecipeFromJobs);
    sub->add_option("--job", group.last().jobs, "This job (repeat)");
    sub->add_flag("--closed", group.last().closed, "All that were closed in the last three years");
}

} // namespace

void MasterCommandLine::addTo(CLI::App& app, const char* footer, std::function<int(Streams&)>& chosen) {
    const VerbAdder adder(footer, chosen);
    addParts(app, verbs, adder);
    addBins(app, verbs, adder);
    addSuppliers(app, verbs, adder);
    addModels(app, verbs, adder);
    addRecipes(app, verbs, adder);
}

} // namespace shimledger::command
