// SPDX-License-Identifier: GPL-3.0-or-later
// usage: kill_rounds [ROUNDS] [SEED]
// Kills a process that posts movements, by SIGKILL at a random moment, again and again on one shop file,
// while another process opens it, posts and closes it again. The one that dies lives by turns like the window
// and like a verb. After each death every movement that the process had acknowledged on its pipe must be
// there, none may be half there, verify must hold and the reservations must add up. Exit code 0 if so. After
// so many deaths a new shop begins, as proving the whole ledger once a round would take ever longer; the old
// one is proved a last time, with everything that was ever acknowledged on it.
#include "tests/faults/shop_work.h"

#include <fcntl.h>
#include <sys/wait.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <optional>
#include <thread>

using namespace shimledger::inventory;

namespace {

template <class Life>
[[noreturn]] void workUntilKilled(Life life, int pipe_end) {
    const Acknowledged ready;
    if (::write(pipe_end, &ready, sizeof ready) != sizeof ready) ::_exit(3);
    while (true) {
        const auto done = life.step();
        // Far below PIPE_BUF: a record is written whole or not at all.
        if (done && ::write(pipe_end, &*done, sizeof *done) != sizeof *done) ::_exit(3);
    }
}

std::vector<Acknowledged> readAll(int pipe_end) {
    std::vector<Acknowledged> all;
    Acknowledged record;
    while (::read(pipe_end, &record, sizeof record) == sizeof record) {
        if (record.batch > 0) all.push_back(record);
    }
    return all;
}

/// Starts a process that works on the shop, kills it, and returns what it had acknowledged; nothing where the
/// process ended by itself. `while_opening`: the death may come while the file is being opened and the death
/// before mended; else it comes while entries are being posted, however busy the machine is.
std::optional<std::vector<Acknowledged>> killOne(const std::filesystem::path& path, bool while_opening,
                                                 std::mt19937_64& random) {
    int ends[2];
    if (::pipe(ends) != 0) std::abort();
    const std::uint64_t seed = random();
    const pid_t child = ::fork();
    if (child == 0) {
        ::close(ends[0]);
        if (seed % 2 == 0) workUntilKilled(VerbLife(path, seed), ends[1]);
        workUntilKilled(WindowLife(path, seed), ends[1]);
    }
    // The neighbour ends its own entries; it is the other one that dies.
    const pid_t neighbour = ::fork();
    if (neighbour == 0) {
        ::close(ends[0]);
        VerbLife life(path, seed + 7);
        while (::getppid() != 1 && !std::filesystem::exists(path.string() + ".end")) {
            const auto done = life.step();
            if (done && ::write(ends[1], &*done, sizeof *done) != sizeof *done) ::_exit(3);
        }
        ::_exit(0);
    }
    ::close(ends[1]);
    Acknowledged ready;
    if (!while_opening && ::read(ends[0], &ready, sizeof ready) != sizeof ready)
        std::printf("the process did not open the shop\n"); // its status below says the same
    std::this_thread::sleep_for(std::chrono::microseconds(random() % 250'000));
    ::kill(child, SIGKILL);
    int status = 0;
    ::waitpid(child, &status, 0);
    std::ofstream(path.string() + ".end").put('.');
    int neighbour_status = 0;
    ::waitpid(neighbour, &neighbour_status, 0);
    std::filesystem::remove(path.string() + ".end");
    auto records = readAll(ends[0]);
    if (neighbour_status != 0) {
        std::printf("the neighbour ended with status %d\n", neighbour_status);
        return std::nullopt;
    }
    ::close(ends[0]);
    if (WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL) return records;
    std::printf("the process ended by itself (status %d)\n", status);
    return std::nullopt;
}

/// Says what is wrong with the shop, and keeps a copy of such a one.
bool proves(const std::filesystem::path& path, const std::vector<Acknowledged>& records, VerifyDepth depth,
            int round) {
    const ShopFile shop = ShopFile::open(path);
    const auto wrong = whatIsWrong(shop, records, depth);
    for (const std::string& sentence : wrong) std::printf("round %d: %s\n", round, sentence.c_str());
    if (!wrong.empty())
        std::filesystem::copy_file(path, "killed-shop.db", std::filesystem::copy_options::overwrite_existing);
    return wrong.empty();
}

constexpr int deaths_a_shop = 25;

struct Tally {
    int deaths = 0;
    int silent = 0; ///< before the first acknowledgement: while opening, or mending the death before
    std::size_t acknowledged = 0;
    std::int64_t movements = 0;
};

/// One shop's life of `deaths` deaths, and its last proof.
bool oneShop(int deaths, std::mt19937_64& random, Tally& tally) {
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    {
        ShopFile shop = ShopFile::create(path);
        fillSmallShop(shop);
    }
    std::vector<Acknowledged> ever;
    for (int death = 0; death < deaths; ++death) {
        const auto records = killOne(path, death % 4 == 3, random);
        if (!records || !proves(path, *records, VerifyDepth::ledger, tally.deaths)) return false;
        ever.insert(ever.end(), records->begin(), records->end());
        ++tally.deaths;
        if (records->empty()) ++tally.silent;
    }
    if (!proves(path, ever, VerifyDepth::everything, tally.deaths)) return false;
    tally.acknowledged += ever.size();
    tally.movements += verifyStock(ShopFile::openReadOnly(path)).movements;
    return true;
}

} // namespace

int main(int count, char** arguments) {
    const int rounds = count > 1 ? std::atoi(arguments[1]) : 1000;
    const std::uint64_t seed = count > 2 ? std::strtoull(arguments[2], nullptr, 10) : std::random_device{}();
    std::printf("%d rounds, seed %llu\n", rounds, static_cast<unsigned long long>(seed));
    std::mt19937_64 random(seed);
    Tally tally;
    while (tally.deaths < rounds) {
        if (!oneShop(std::min(deaths_a_shop, rounds - tally.deaths), random, tally)) return 1;
    }
    std::printf(
        "%d deaths (%d before the first entry) on shops of %d each, %zu acknowledged batches, all there "
        "and whole; %lld movements prove true\n",
        tally.deaths, tally.silent, deaths_a_shop, tally.acknowledged,
        static_cast<long long>(tally.movements));
    return 0;
}
