// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/storage/query.h"
#include "inventory/storage/shop_connection.h"

#include <string>
#include <string_view>

namespace shimledger::inventory {

/// Rules and rows of jobs that job book and importer share. All throw FieldError; none names the customer.

void checkJob(const Job& job);
/// `who`: "job 'J-1'", in its sentences.
void checkValve(const std::string& who, const JobValve& valve);
/// One row of a stack of this job; `row_number` (1-based) is for the sentence.
void checkStackRow(ShopConnection& connection, const Job& job, StackRole role, int leg, const StackRow& row,
                   std::int64_t row_number);
void insertJob(ShopConnection& connection, const Job& job);
/// Refuses a valve of that name in a leg where the component has one already, in a job of its valves that has
/// not been cancelled; `except`: the row of the valve itself.
void checkValvePlace(ShopConnection& connection, const Job& valve, std::int64_t component_id,
                     std::int64_t except = 0);
/// The legs that this valve of the component lies in, also where they have stacks of their own.
struct LegRange {
    int first = 1, last = 1;
};
[[nodiscard]] LegRange legsOfValve(ShopConnection& connection, const Job& job);
void insertStackRow(ShopConnection& connection, std::int64_t job_id, StackRole role, int leg,
                    std::int64_t position, const StackRow& row);
/// Throws unless the job is there and has not ended; returns its row number.
std::int64_t livingJobId(ShopConnection& connection, std::string_view code);

/// The same of a job that wear parts and findings can be given to: no further valve of a component.
std::int64_t livingComponentId(ShopConnection& connection, std::string_view code);

/// The columns that readJob reads, in its order, from `jobs j JOIN component_models m`, and `c`, the
/// component's job where that is another.
[[nodiscard]] const std::string& jobColumns();
[[nodiscard]] Job readJob(const Query& row);

} // namespace shimledger::inventory
