// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "planner/units/length.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// `open`, `reserved` (discs promised to it) and `pulled` (discs issued, none promised any more) follow from
/// the ledger by themselves; `closed` and `cancelled` are said by a person and end the job.
enum class JobStatus { open, reserved, pulled, closed, cancelled };

/// Where the stack sits, as measured by the tech; the planner has its own type and its own rules.
struct JobValve {
    std::string name; ///< "compression", "rebound", "base", "mid"
    Length clamp_od;
    Length port_inner_diameter;
    Length port_outer_diameter;
    Length shim_id;
    std::optional<Length> seat_diameter;
    std::optional<Length> preload;

    bool operator==(const JobValve&) const = default;
};

/// One component of one customer, or one more valve of it (job_valves.h).
struct Job {
    std::string code;     ///< unique; same rules as a part code
    std::string customer; ///< private: never written into a message or a log
    std::string model;    ///< code of a component model
    JobValve valve;
    int legs = 2; ///< that have this valve, 1 to 4
    CalendarDate opened;
    std::optional<CalendarDate> due;
    int priority = 0; ///< 0 to 9, greater is more urgent
    JobStatus status = JobStatus::open;
    std::string note;
    std::string component; ///< mark of the component itself (serial number, tag), as private as the customer
    std::optional<UtcTime> ended{}; ///< when it was closed or cancelled; none: at work, or it is not known
    std::string valve_of{}; ///< code of the component's job that this is one more valve of; empty: it is that
                            ///< job itself
    int first_leg = 1;      ///< the valve lies in the legs from here on

    bool operator==(const Job&) const = default;
};

[[nodiscard]] constexpr int lastLeg(const Job& job) {
    return job.first_leg + job.legs - 1;
}

enum class StackRole {
    asFound, ///< per leg, by its number in the component
    target,  ///< leg 0: the same for every leg
    build    ///< leg 0: the accepted plan; its rows say which target row they stand for
};

/// Some equal discs, lying together. The place in the vector is the place in the stack, piston face first.
struct StackRow {
    std::int64_t count = 1; ///< 1 to 1000
    Length od;
    Length thickness;
    /// Build stacks: the 1-based target row that this row stands in for; none: it is as in the target.
    std::optional<int> replaces;

    bool operator==(const StackRow&) const = default;
};

struct JobStack {
    StackRole role = StackRole::target;
    int leg = 0;
    std::vector<StackRow> rows;
    std::optional<Length> clamp_od{}; ///< of a build on another clamp than the job's valve has

    bool operator==(const JobStack&) const = default;
};

/// A wear part that the inspection calls for.
struct JobConsumable {
    std::string part;
    std::int64_t quantity = 1; ///< in all legs together, 1 or more
    std::string reason;

    bool operator==(const JobConsumable&) const = default;
};

[[nodiscard]] std::string_view jobStatusName(JobStatus status);
[[nodiscard]] JobStatus parseJobStatus(std::string_view text);
[[nodiscard]] std::string_view stackRoleName(StackRole role); ///< "as_found", "target", "build"
[[nodiscard]] StackRole parseStackRole(std::string_view text);

} // namespace shimledger::inventory
