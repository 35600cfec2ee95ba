// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/job.h"

#include "inventory/storage/quoted.h"
#include "planner/units/input_error.h"

#include <array>
#include <stdexcept>

namespace shimledger::inventory {

namespace {

struct StatusWord {
    JobStatus status;
    std::string_view name;
};
constexpr std::array<StatusWord, 5> status_words{{{JobStatus::open, "open"},
                                                  {JobStatus::reserved, "reserved"},
                                                  {JobStatus::pulled, "pulled"},
                                                  {JobStatus::closed, "closed"},
                                                  {JobStatus::cancelled, "cancelled"}}};

struct RoleWord {
    StackRole role;
    std::string_view name;
};
constexpr std::array<RoleWord, 3> role_words{
    {{StackRole::asFound, "as_found"}, {StackRole::target, "target"}, {StackRole::build, "build"}}};

} // namespace

std::string_view jobStatusName(JobStatus status) {
    for (const StatusWord& word : status_words) {
        if (word.status == status) return word.name;
    }
    throw std::logic_error("a job status is missing in the table of words");
}

JobStatus parseJobStatus(std::string_view text) {
    for (const StatusWord& word : status_words) {
        if (word.name == text) return word.status;
    }
    throw InputError(inQuotes(text) + " is no job status: write open, reserved, pulled, closed or cancelled");
}

std::string_view stackRoleName(StackRole role) {
    for (const RoleWord& word : role_words) {
        if (word.role == role) return word.name;
    }
    throw std::logic_error("a stack role is missing in the table of words");
}

StackRole parseStackRole(std::string_view text) {
    for (const RoleWord& word : role_words) {
        if (word.name == text) return word.role;
    }
    throw InputError(inQuotes(text) + " is no role of a stack: write as_found, target or build");
}

} // namespace shimledger::inventory
