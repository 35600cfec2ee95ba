// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/shared_conflict.h"

#include <algorithm>
#include <set>
#include <utility>

namespace shimledger::planner {

std::optional<PoolKey> mostWanted(const std::vector<JobAnswerPointer>& answers, const SharedPool& pool) {
    PoolUse wanted;
    for (const JobAnswerPointer& answer : answers) addUse(wanted, answer->use);
    std::optional<PoolKey> worst;
    double most = 1;
    for (const auto& [key, pieces] : wanted) {
        const std::int64_t total = pool.total(key);
        if (pieces <= total) continue;
        const double over =
            static_cast<double>(pieces) / static_cast<double>(std::max<std::int64_t>(1, total));
        if (!worst || over > most) {
            most = over;
            worst = key;
        }
    }
    return worst;
}

std::vector<std::vector<JobLimit>> waysOut(const std::vector<JobAnswerPointer>& answers, const PoolKey& key,
                                           const std::vector<JobSearch>& jobs, const SharedPool& pool) {
    struct User {
        std::size_t job;
        KindName kind;
        std::int64_t count, pieces_each;
    };
    std::vector<User> users;
    std::set<std::size_t> takers;
    std::int64_t wanted = 0;
    for (std::size_t job = 0; job < jobs.size(); ++job) {
        for (const auto& [name, count] : answers[job]->counts) {
            const DiscKind& kind = kindNamed(name, jobs[job].kinds());
            const PoolUse one = useOfOne(name, kind, pool, jobs[job].request().legs);
            const auto part = one.find(key);
            if (part == one.end()) continue;
            users.push_back({job, name, count, part->second});
            takers.insert(job);
            wanted += count * part->second;
        }
    }
    std::vector<std::vector<JobLimit>> ways;
    if (wanted == 0) return ways;
    if (takers.size() < users.size()) {
        // Several kinds of one job share these discs: of one kind, one job takes one less.
        for (const User& user : users) ways.push_back({{user.job, user.kind, user.count - 1}});
        return ways;
    }
    // Not all can have more than their share of what there is: the first keeps to it, or else takes more, so
    // that less is left to the others; then the second keeps to it, and so on.
    const std::int64_t total = pool.total(key);
    std::int64_t left = total;
    for (std::size_t u = 0; u < users.size() && left >= 0; ++u) {
        const std::int64_t share = total * users[u].count * users[u].pieces_each / wanted;
        const std::int64_t most = share / users[u].pieces_each;
        std::vector<JobLimit> way{{users[u].job, users[u].kind, std::min(most, left / users[u].pieces_each)}};
        for (std::size_t later = u + 1; u > 0 && later < users.size(); ++later)
            way.push_back({users[later].job, users[later].kind, left / users[later].pieces_each});
        ways.push_back(std::move(way));
        left -= (most + 1) * users[u].pieces_each;
    }
    return ways;
}

} // namespace shimledger::planner
