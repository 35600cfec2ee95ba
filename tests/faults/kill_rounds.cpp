// usage: kill_rounds [ROUNDS] [SEED]
// Kills a process that posts movements, by SIGKILL at a random moment, again and again on one shop file.
// After each death every movement that the process had acknowledged on its pipe must be there, none may be
// half there, verify must hold and the reservations must add up. Exit code 0 if so.
// After so many deaths a new shop begins, as proving the whole ledger once a round would take ever longer;
// the old one is proved a last time, with everything that was ever acknowledged on it.
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

[[noreturn]] void workUntilKilled(const std::filesystem::path& path, int pipe_end, std::uint64_t seed) {
    ShopFile shop = ShopFile::open(path);
    const Acknowledged ready;
    if (::write(pipe_end, &ready, sizeof ready) != sizeof ready) ::_exit(3);
    ShopWork work(shop, seed);
    while (true) {
        const auto done = work.step();
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
        workUntilKilled(path, ends[1], seed);
    }
    ::close(ends[1]);
    Acknowledged ready;
    if (!while_opening && ::read(ends[0], &ready, sizeof ready) != sizeof ready)
        std::printf("the process did not open the shop\n"); // its status below says the same
    std::this_thread::sleep_for(std::chrono::microseconds(random() % 250'000));
    ::kill(child, SIGKILL);
    int status = 0;
    ::waitpid(child, &status, 0);
    auto records = readAll(ends[0]);
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
