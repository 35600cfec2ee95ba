// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/job_intake.h"

#include "app/services/stock_to_request.h"
#include "inventory/job_book.h"
#include "inventory/stock_ledger.h"
#include "planner/stack/stack_text.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <tuple>

namespace shimledger::services {

namespace {

/// "JOB-" and "1014"; no number: the code does not end in one, or in one too long to count on.
struct NumberedCode {
    std::string kind;
    std::string digits;

    explicit NumberedCode(const std::string& code) {
        constexpr std::size_t most_digits = 9;
        const std::size_t last = code.find_last_not_of("0123456789");
        const std::size_t begin = last == std::string::npos ? 0 : last + 1;
        if (begin < code.size() && code.size() - begin <= most_digits) {
            kind = code.substr(0, begin);
            digits = code.substr(begin);
        }
    }
    [[nodiscard]] int number() const {
        int value = 0;
        std::from_chars(digits.data(), digits.data() + digits.size(), value);
        return value;
    }
};

bool isLater(const inventory::Job& job, const inventory::Job& other) {
    return std::tie(job.opened, job.code) > std::tie(other.opened, other.code);
}

} // namespace

std::string nextJobCode(inventory::ShopFile& shop) {
    std::vector<inventory::Job> jobs = inventory::JobBook(shop).list();
    std::erase_if(jobs, [](const inventory::Job& job) { return !job.valve_of.empty(); });
    const inventory::Job* latest = nullptr;
    for (const inventory::Job& job : jobs) {
        if (NumberedCode(job.code).digits.empty()) continue;
        if (latest == nullptr || isLater(job, *latest)) latest = &job;
    }
    if (latest == nullptr) return "JOB-0001";
    const NumberedCode pattern(latest->code);
    int greatest = 0;
    for (const inventory::Job& job : jobs) {
        const NumberedCode code(job.code);
        if (code.kind == pattern.kind) greatest = std::max(greatest, code.number());
    }
    return fmt::format("{}{:0{}}", pattern.kind, greatest + 1, pattern.digits.size());
}

std::optional<inventory::Job> latestJobLike(inventory::ShopFile& shop, std::string_view model,
                                            std::string_view valve) {
    std::optional<inventory::Job> latest;
    for (const inventory::Job& job : inventory::JobBook(shop).list()) {
        if (job.model != model || job.valve.name != valve) continue;
        if (!latest || isLater(job, *latest)) latest = job;
    }
    return latest;
}

std::vector<inventory::StackRow> targetRows(inventory::ShopFile& shop, std::string_view job) {
    const auto target = inventory::JobBook(shop).stack(job, inventory::StackRole::target);
    return target ? target->rows : std::vector<inventory::StackRow>();
}

int usualLegs(inventory::ComponentKind kind) {
    return kind == inventory::ComponentKind::shock ? 1 : 2;
}

std::string openJob(inventory::ShopFile& shop, const JobIntake& intake) {
    inventory::Job job = intake.job;
    shop.atomically([&] {
        if (job.code.empty()) job.code = nextJobCode(shop);
        job.opened = shop.now().date();
        if (intake.new_model) inventory::ComponentModels(shop).add(*intake.new_model);
        inventory::JobBook jobs(shop);
        jobs.add(job);
        if (!intake.target.empty()) {
            static_cast<void>(plannerStack(job, intake.target));
            jobs.setStack(job.code, {inventory::StackRole::target, 0, intake.target});
        }
    });
    return job.code;
}

void changeJob(inventory::ShopFile& shop, const inventory::Job& before, const inventory::Job& wanted) {
    shop.atomically([&] {
        inventory::JobBook jobs(shop);
        inventory::Job now = jobs.get(wanted.code);
        const inventory::JobStatus status = now.status;
        now.status = before.status; // it follows from the ledger and is nobody's entry
        if (now != before) {
            throw InputError(fmt::format(
                "job '{}' has been changed by somebody else meanwhile: look at it again", wanted.code));
        }
        jobs.update(wanted);
        if (before.valve == wanted.valve) return;
        const std::vector<inventory::StackRow> target = targetRows(shop, wanted.code);
        if (!target.empty()) static_cast<void>(plannerStack(wanted, target));
        if (status == inventory::JobStatus::pulled) {
            throw InputError(
                fmt::format("the discs of job '{}' are pulled for the valve as it was: put them back, "
                            "or cancel the job and open another",
                            wanted.code));
        }
        if (!inventory::StockLedger(shop).reservationsOf(wanted.code).empty()) {
            throw InputError(fmt::format("job '{}' has discs reserved for the valve as it was: release them, "
                                         "change the valve, and search again",
                                         wanted.code));
        }
    });
}

std::vector<inventory::StackRow> bookRows(const std::vector<planner::DiscRow>& rows) {
    std::vector<inventory::StackRow> result;
    result.reserve(rows.size());
    for (const planner::DiscRow& row : rows) {
        if (row.ring_id) {
            throw InputError(fmt::format("row {} is a ring with a bore of {} mm: a job's stack is of whole "
                                         "discs; 'shimledger lift' follows rings",
                                         result.size() + 1, row.ring_id->text()));
        }
        result.push_back({row.count, row.od, row.thickness, {}});
    }
    return result;
}

std::vector<inventory::StackRow> bookRows(std::string_view stack_text) {
    return bookRows(planner::parseStackText(stack_text));
}

} // namespace shimledger::services
