// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/shop_file.h"
#include "inventory/stock_ledger.h"

#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// What a job's code stands for where a whole component is meant: the job of a component with all its valves
/// that have not ended before it, itself first; of another valve that valve alone. Throws InputError when
/// there is no such job.
[[nodiscard]] std::vector<inventory::Job> valvesOf(inventory::ShopFile& shop, std::string_view job);

/// The job of the component that `job` is a valve of, which wear parts and findings belong to; itself where
/// it is that job. Throws InputError when there is no such job.
[[nodiscard]] inventory::Job componentJob(inventory::ShopFile& shop, std::string_view job);

/// What is reserved for those, in walking order.
[[nodiscard]] std::vector<inventory::Reservation> reservedForValves(inventory::ShopFile& shop,
                                                                    std::string_view job);

/// All valves of the model that the component of `job` has none of yet, with their sizes; returns their
/// codes. Throws as inventory::addJobValve.
std::vector<std::string> addModelValves(inventory::ShopFile& shop, std::string_view job);

/// "J-104: compression; J-104/rebound: rebound, leg 2": the other valves of the job's component, a phrase
/// each; empty where there are none.
[[nodiscard]] std::vector<std::string> otherValves(inventory::ShopFile& shop, std::string_view job);

/// "rebound", and where the valve lies in some of its component's legs only "rebound, leg 2".
[[nodiscard]] std::string valveText(const inventory::Job& valve, int component_legs);
[[nodiscard]] std::string valveText(const std::string& name, int first_leg, int legs, int component_legs);

} // namespace shimledger::services
