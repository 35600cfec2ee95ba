// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/shop_file.h"

#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// The valves of one component that are at work together. Each is a Job with geometry, legs, stacks and discs
/// of its own, so that whatever takes a job's code takes a valve; customer, component, model, days and
/// priority are those of the component's job, which is a valve itself. Wear parts and findings belong to the
/// component's job.

/// The component's job first, then its other valves by code; one where the job has no others. Throws
/// InputError when there is no such job.
[[nodiscard]] std::vector<Job> componentValves(const ShopFile& shop, std::string_view job);

/// Of those the job itself and, where it is the component's job, all its others.
[[nodiscard]] std::vector<Job> valvesWithin(const ShopFile& shop, std::string_view job);

/// "leg 2", "legs 1 to 2"
[[nodiscard]] std::string legsText(int first_leg, int legs);

/// How many legs those valves lie in: the greatest number of a leg.
[[nodiscard]] int componentLegs(const std::vector<Job>& valves);

/// Another valve of the component that `job` belongs to; returns its code, "J-104/rebound". Throws
/// InputError: no such job or one that has ended, a valve that is no valve, legs outside 1..4, a valve of
/// that name in one of these legs already.
std::string addJobValve(ShopFile& shop, std::string_view job, const JobValve& valve, int first_leg, int legs);

/// Legs from `from_leg` on get a stack of their own: a valve of the same name and sizes, with the same
/// target, beside this one, which keeps the legs before; returns its code. What the strip found stays with
/// the valve that was stripped. Throws InputError: no such job, one that has ended, a leg that is not one of
/// its later ones, discs reserved or pulled for it.
std::string splitJobLegs(ShopFile& shop, std::string_view job, int from_leg);

/// Job `job`, of the same component model, becomes a valve of `component_job`; its wear parts and findings
/// that the component's job has not move there. Throws InputError: no such job, one that has ended, one that
/// is or has valves of another, another model, a valve of that name in one of these legs already, wear parts
/// reserved for it.
void joinJob(ShopFile& shop, std::string_view job, std::string_view component_job);

/// The valve is a job by itself again. Throws InputError where it is none of another job's valves, or has
/// ended.
void separateJob(ShopFile& shop, std::string_view job);

} // namespace shimledger::inventory
