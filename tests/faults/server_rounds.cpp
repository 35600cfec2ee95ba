// SPDX-License-Identifier: GPL-3.0-or-later
// server_rounds ROUNDS: eight benches book on one server, which is killed (kill -9 and immediate shutdown by
// turns) and started again ROUNDS times under them. Nothing acknowledged may be lost, nothing that was called
// not booked may be there, nothing may be there half or twice, and nothing is promised twice. Runs inside of
// tests/server/throw-away-server.
#include "server_work.h"

#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdio>
#include <fstream>
#include <thread>

using namespace shimledger;
using namespace shimledger::inventory;

namespace {

constexpr int benches = 8;

/// Books until the file `end` is there; writes what it was told into `out`.
void work(const std::filesystem::path& address, int bench, const std::filesystem::path& end,
          const std::filesystem::path& out) {
    ServerBench life(address, "b" + std::to_string(bench), static_cast<std::uint64_t>(bench) + 17);
    std::error_code none;
    bool booked_last = false;
    const auto give_up = std::chrono::steady_clock::now() + std::chrono::minutes(10);
    // The last entry must have been booked: work goes on when the server is back.
    while (!std::filesystem::exists(end, none) || !booked_last) {
        const std::size_t before = life.told().size();
        life.step();
        booked_last = life.bookedSince(before) > 0;
        if (std::chrono::steady_clock::now() > give_up) throw std::runtime_error("work does not go on");
        if (!booked_last) std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
    std::ofstream told(out);
    for (const auto& [reason, outcome] : life.told())
        told << reason << ' ' << static_cast<int>(outcome) << '\n';
    if (!life.lastFault().empty())
        std::printf("bench %d was last told: %s\n", bench, life.lastFault().c_str());
}

bool server(const std::string& what) {
    return std::system((std::string(SHIMLEDGER_THROW_AWAY_SERVER) + " " + what).c_str()) == 0;
}

} // namespace

int main(int count, char** arguments) {
    const int rounds = count > 1 ? std::atoi(arguments[1]) : 3;
    const TemporaryFolder folder;
    const std::filesystem::path address = folder.shop("shop");
    if (!isServerAddress(address)) {
        std::fprintf(stderr, "run it inside of tests/server/throw-away-server\n");
        return 2;
    }
    {
        ShopFile shop = ShopFile::create(address);
        fillSmallShop(shop);
        StockLedger(shop).post({movement(MovementKind::receipt, "S24-10", "A1", 40),
                                movement(MovementKind::receipt, "S24-15", "A1", 40)});
    }
    std::vector<pid_t> workers;
    for (int bench = 0; bench < benches; ++bench) {
        const pid_t child = ::fork();
        if (child == 0) {
            try {
                work(address, bench, folder / "end", folder / ("told-" + std::to_string(bench)));
                std::fflush(nullptr);
                ::_exit(0);
            } catch (const std::exception& fault) {
                std::fprintf(stderr, "bench %d: %s\n", bench, fault.what());
                ::_exit(1);
            }
        }
        workers.push_back(child);
    }
    std::mt19937_64 random(4711);
    bool good = true;
    for (int round = 0; round < rounds; ++round) {
        std::this_thread::sleep_for(std::chrono::milliseconds(150 + random() % 500));
        good = server(round % 2 == 0 ? "crash" : "stop") && good;
        std::this_thread::sleep_for(std::chrono::milliseconds(random() % 300));
        good = server("start") && good;
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(300));
    std::ofstream(folder / "end") << "now";
    for (const pid_t worker : workers) {
        int status = 0;
        ::waitpid(worker, &status, 0);
        good = good && WIFEXITED(status) && WEXITSTATUS(status) == 0;
    }
    std::map<std::string, Told> told;
    std::map<Told, int> tally;
    for (int bench = 0; bench < benches; ++bench) {
        std::ifstream in(folder / ("told-" + std::to_string(bench)));
        std::string reason;
        for (int outcome = 0; in >> reason >> outcome;) {
            told[reason] = static_cast<Told>(outcome);
            ++tally[static_cast<Told>(outcome)];
        }
    }
    const ShopFile shop = ShopFile::openReadOnly(address);
    const std::vector<std::string> wrong = whatWasToldWrongly(shop, told);
    for (std::size_t i = 0; i < wrong.size() && i < 20; ++i) std::printf("WRONG: %s\n", wrong[i].c_str());
    std::printf(
        "%d deaths of the server under %d benches: %d entries acknowledged, %d called not booked, %d of "
        "unknown outcome; %s\n",
        rounds, benches, tally[Told::booked], tally[Told::notBooked], tally[Told::unknown],
        wrong.empty() && good ? "all as was told" : "NOT as was told");
    return wrong.empty() && good && tally[Told::booked] > 0 ? 0 : 1;
}
