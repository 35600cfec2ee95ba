// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/job.h"
#include "inventory/shop_file.h"

#include <optional>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// The jobs with their stacks and consumables. Every refusal is an InputError that names the job by its
/// code, never by its customer. The ShopFile must outlive it.
class JobBook {
public:
    explicit JobBook(ShopFile& shop) : m_shop(shop) {}

    /// Status is `open` whatever the struct says. Refuses: code taken, unknown model, legs outside 1..4,
    /// a non-positive length, due before opened.
    void add(const Job& job);
    /// Changes customer, component, valve, due, priority and note of a job that has not ended; customer,
    /// component, due and priority of all its valves with it.
    void update(const Job& job);

    [[nodiscard]] std::optional<Job> find(std::string_view code) const;
    [[nodiscard]] Job get(std::string_view code) const; ///< throws InputError when unknown
    [[nodiscard]] std::vector<Job> list() const;        ///< the more urgent first, then by due day and code
    [[nodiscard]] std::vector<Job> listStatus(JobStatus status) const;

    /// Replaces the stack of that role and leg; no rows removes it. Refuses: a job that has ended, a leg the
    /// job has not, a disc without size, `replaces` outside a build stack or beyond the target's rows.
    void setStack(std::string_view job, const JobStack& stack);
    [[nodiscard]] std::optional<JobStack> stack(std::string_view job, StackRole role, int leg = 0) const;
    [[nodiscard]] std::vector<JobStack> stacks(std::string_view job) const; ///< as found, target, build

    /// Replaces the job's consumables, which are of its whole component. Refuses unknown parts, a part named
    /// twice, quantities below 1, and a further valve of a component.
    void setConsumables(std::string_view job, const std::vector<JobConsumable>& consumables);
    void addConsumable(std::string_view job, const JobConsumable& consumable);
    [[nodiscard]] std::vector<JobConsumable> consumables(std::string_view job) const;

    /// Ends the job, with all the valves of its component, and releases exactly what is still reserved for
    /// them, in one transaction. Refuses a job that has ended already, and to close a further valve alone.
    /// Returns the quantity released.
    std::int64_t close(std::string_view job, std::string_view reason = "job closed");
    std::int64_t cancel(std::string_view job, std::string_view reason = "job cancelled");

private:
    ShopFile& m_shop;
};

} // namespace shimledger::inventory
