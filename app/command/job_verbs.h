// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/command/shop_verbs.h"
#include "app/command/verbs.h"

#include <optional>
#include <string>

namespace shimledger::command {

/// job list: which jobs; empty where nothing is said.
struct JobListVerb {
    std::string shop_file, words, customer, due_until;
    std::optional<int> priority;
    bool all = false, ended = false, late = false, json = false;
};

struct JobTargetVerb {
    std::string shop_file, job, stack_file, rows;
    bool valve_too = false, json = false;
};

/// Stacks that were tried for a job: listed, kept, made the target, thrown away.
struct JobTriesVerb {
    std::string shop_file, job, keep, name, wanted, take, drop, made_by;
    bool json = false;
};

/// The valves of a job's component: listed, added, parted by legs, joined, made jobs by themselves.
struct JobValveVerb : JobVerb {
    std::string to; ///< join: the job of the component
    std::optional<int> first_leg;
    int from_leg = 2; ///< split
    bool json = false;
};

struct JobReopenVerb {
    std::string shop_file, job;
    bool json = false;
};

/// What leaves with the customer and what the books want: job record, job cost, stock value.
struct BooksVerb {
    std::string shop_file, job, on_day, out_file, paper = "a4";
    bool force = false, json = false;
};

int runJobList(const JobListVerb& verb, Streams& streams);
int runJobTarget(const JobTargetVerb& verb, Streams& streams);
int runJobTries(const JobTriesVerb& verb, Streams& streams);
int runJobValveList(const JobValveVerb& verb, Streams& streams);
int runJobValveAdd(const JobValveVerb& verb, Streams& streams);
int runJobValveSplit(const JobValveVerb& verb, Streams& streams);
int runJobValveJoin(const JobValveVerb& verb, Streams& streams);
int runJobValveSeparate(const JobValveVerb& verb, Streams& streams);
int runJobReopen(const JobReopenVerb& verb, Streams& streams);
int runJobRecord(const BooksVerb& verb, Streams& streams);
int runJobCosts(const BooksVerb& verb, Streams& streams);
int runStockValue(const BooksVerb& verb, Streams& streams);

} // namespace shimledger::command
