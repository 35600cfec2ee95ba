// usage: kill_rounds [ROUNDS] [SEED]
// Kills a process that posts movements, by SIGKILL at a random moment, again and again on one shop file.
// After each death every movement that the process had acknowledged on its pipe must be there, none may be
// half there, verify must hold and the reservations must add up. Exit code 0 if so.
#include "tests/faults/shop_work.h"

#include <fcntl.h>
#include <sys/wait.h>

#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
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

} // namespace

int main(int count, char** arguments) {
    const int rounds = count > 1 ? std::atoi(arguments[1]) : 1000;
    const std::uint64_t seed = count > 2 ? std::strtoull(arguments[2], nullptr, 10) : std::random_device{}();
    std::printf("%d rounds, seed %llu\n", rounds, static_cast<unsigned long long>(seed));
    std::mt19937_64 random(seed);
    const TemporaryFolder folder;
    const auto path = folder / "shop.db";
    {
        ShopFile shop = ShopFile::create(path);
        fillSmallShop(shop);
    }
    std::size_t acknowledged = 0;
    int silent =
        0; // killed before the first acknowledgement: while opening, or recovering from the death before
    for (int round = 0; round < rounds; ++round) {
        int ends[2];
        if (::pipe(ends) != 0) return 3;
        const pid_t child = ::fork();
        if (child == 0) {
            ::close(ends[0]);
            workUntilKilled(path, ends[1], random());
        }
        ::close(ends[1]);
        // Every fourth death may come while the file is being opened and the death before mended; the others
        // come while entries are being posted, however busy the machine is.
        Acknowledged ready;
        if (round % 4 != 0 && ::read(ends[0], &ready, sizeof ready) != sizeof ready) return 3;
        std::this_thread::sleep_for(std::chrono::microseconds(random() % 250'000));
        ::kill(child, SIGKILL);
        int status = 0;
        ::waitpid(child, &status, 0);
        const auto records = readAll(ends[0]);
        ::close(ends[0]);
        static_cast<void>(random());
        acknowledged += records.size();
        if (records.empty()) ++silent;
        if (!WIFSIGNALED(status)) {
            std::printf("round %d: the process ended by itself (%d)\n", round, status);
            return 1;
        }
        const ShopFile shop = ShopFile::open(path);
        const auto wrong =
            whatIsWrong(shop, records, round % 50 == 49 ? VerifyDepth::everything : VerifyDepth::ledger);
        for (const std::string& sentence : wrong) std::printf("round %d: %s\n", round, sentence.c_str());
        if (!wrong.empty()) {
            std::filesystem::copy_file(path, "killed-shop.db",
                                       std::filesystem::copy_options::overwrite_existing);
            return 1;
        }
    }
    const ShopFile shop = ShopFile::open(path);
    std::printf("%d deaths (%d before the first entry), %zu acknowledged batches, all there and whole; %lld "
                "movements "
                "prove true\n",
                rounds, silent, acknowledged, static_cast<long long>(verifyStock(shop).movements));
    return 0;
}
