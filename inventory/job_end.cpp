// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/job_end.h"

#include "inventory/job_book.h"
#include "inventory/job_valves.h"
#include "inventory/ledger/job_status.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

namespace shimledger::inventory {

ReopenedJob reopenJob(ShopFile& shop, std::string_view job) {
    ShopConnection& connection = shop.connection();
    WriteTransaction transaction(connection);
    const JobBook book(shop);
    ReopenedJob reopened;
    reopened.was = book.get(job).status;
    if (!hasEnded(reopened.was)) {
        throw FieldError("job", "job " + inQuotes(job) + " is " + std::string(jobStatusName(reopened.was)) +
                                    ": only a job that is closed or cancelled can be opened again");
    }
    const Job ended = book.get(job);
    const std::vector<Job> valves = componentValves(shop, job);
    if (!ended.valve_of.empty() && hasEnded(valves.front().status)) {
        throw FieldError("job", "job " + inQuotes(job) + " is a valve of job " + inQuotes(ended.valve_of) +
                                    ", which has ended: open that one again");
    }
    for (const Job& valve : valves) {
        const bool with_it =
            valve.valve_of == ended.code && valve.status == ended.status && valve.ended == ended.ended;
        if (valve.code != ended.code && !with_it) continue;
        const std::int64_t id = jobId(connection, valve.code);
        Query(connection, "UPDATE jobs SET status = 'open', ended_utc = NULL WHERE job_id = ?1", id).run();
        refreshJobStatus(connection, id);
    }
    reopened.now = book.get(job).status;
    transaction.commit();
    return reopened;
}

} // namespace shimledger::inventory
