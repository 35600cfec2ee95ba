// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/command/verbs.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::command {

/// part, bin, supplier, model and recipe: what the shop says of itself.
struct MasterVerb {
    std::string shop_file, part, bin, supplier, model, valve, standard, note, recipe, file;
    std::string clamp_od, port_inner, port_outer, shim_id, seat, preload; ///< mm, of a model's valve
    std::map<std::string, std::string> values; ///< by the field's name (inventory/master_fields.h); as typed
    std::vector<std::string> breaks;           ///< PACKS=PRICE, or none
    std::vector<std::string> jobs;             ///< codes
    std::optional<std::int64_t> pack_size, quantity;
    bool retired = false, json = false, change = false, closed = false;
};

int runPartAdd(const MasterVerb& verb, Streams& streams);
int runPartChange(const MasterVerb& verb, Streams& streams);
int runPartRetire(const MasterVerb& verb, Streams& streams);
int runPartBringBack(const MasterVerb& verb, Streams& streams);
int runPartList(const MasterVerb& verb, Streams& streams);
int runBinAdd(const MasterVerb& verb, Streams& streams);
int runBinChange(const MasterVerb& verb, Streams& streams);
int runBinRetire(const MasterVerb& verb, Streams& streams);
int runBinBringBack(const MasterVerb& verb, Streams& streams);
int runBinList(const MasterVerb& verb, Streams& streams);
int runSupplierAdd(const MasterVerb& verb, Streams& streams);
int runSupplierChange(const MasterVerb& verb, Streams& streams);
int runSupplierRetire(const MasterVerb& verb, Streams& streams);
int runSupplierBringBack(const MasterVerb& verb, Streams& streams);
int runSupplierList(const MasterVerb& verb, Streams& streams);
int runOfferAdd(const MasterVerb& verb, Streams& streams);
int runOfferChange(const MasterVerb& verb, Streams& streams);
int runOfferRetire(const MasterVerb& verb, Streams& streams);
int runOfferBringBack(const MasterVerb& verb, Streams& streams);
int runOfferList(const MasterVerb& verb, Streams& streams);
int runModelAdd(const MasterVerb& verb, Streams& streams);
int runModelChange(const MasterVerb& verb, Streams& streams);
int runModelRetire(const MasterVerb& verb, Streams& streams);
int runModelBringBack(const MasterVerb& verb, Streams& streams);
int runModelList(const MasterVerb& verb, Streams& streams);
int runModelValveSet(const MasterVerb& verb, Streams& streams);
int runModelValveDrop(const MasterVerb& verb, Streams& streams);
int runModelFlowSet(const MasterVerb& verb, Streams& streams);
int runModelFlowDrop(const MasterVerb& verb, Streams& streams);
int runModelWearPartSet(const MasterVerb& verb, Streams& streams);
int runModelWearPartDrop(const MasterVerb& verb, Streams& streams);
int runRecipeAdd(const MasterVerb& verb, Streams& streams);
int runRecipeChange(const MasterVerb& verb, Streams& streams);
int runRecipeRetire(const MasterVerb& verb, Streams& streams);
int runRecipeBringBack(const MasterVerb& verb, Streams& streams);
int runRecipeList(const MasterVerb& verb, Streams& streams);
int runRecipeImport(const MasterVerb& verb, Streams& streams);
int runRecipeFromJobs(const MasterVerb& verb, Streams& streams);

} // namespace shimledger::command
