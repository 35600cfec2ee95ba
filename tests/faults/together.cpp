// SPDX-License-Identifier: GPL-3.0-or-later
// usage: together [PROCESSES] [SECONDS]
// So many processes deliver, reserve, pull, move and count on one shop file at once, as windows, as verbs and
// with the file kept open. Nothing acknowledged may be lost or half there, nothing promised twice, and no
// process may be told that the file is busy. Then all of them work with their file kept open, and the same
// processes write the same rows with plain SQLite (same schema, same settings, no rules of ours): the
// throughputs of these two are compared.
#include "tests/faults/shop_work.h"

#include <sys/wait.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <memory>
#include <optional>

using namespace shimledger::inventory;
using Clock = std::chrono::steady_clock;

namespace {

struct Tally {
    std::int64_t entries = 0; ///< acknowledged batches
    std::int64_t rows = 0;    ///< ledger rows in them
    std::int64_t refused = 0; ///< what the drawers did not allow
    double longest_wait_seconds = 0;
    int faults = 0; ///< sentences of ShopFileFault, which nobody should have seen
};

// Each worker is a process of its own; what it writes on its pipe is read once all have ended.
template <class Work>
std::vector<Tally> inProcesses(int processes, Work&& work) {
    std::vector<std::pair<pid_t, int>> children;
    for (int worker = 0; worker < processes; ++worker) {
        int ends[2];
        if (::pipe(ends) != 0) std::abort();
        const pid_t child = ::fork();
        if (child == 0) {
            Tally tally;
            try {
                work(worker, tally);
            } catch (const std::exception& error) {
                std::fprintf(stderr, "worker %d: %s\n", worker, error.what());
                ++tally.faults;
            }
            ::_exit(::write(ends[1], &tally, sizeof tally) == sizeof tally ? 0 : 3);
        }
        ::close(ends[1]);
        children.emplace_back(child, ends[0]);
    }
    std::vector<Tally> tallies;
    for (const auto& [child, pipe_end] : children) {
        Tally tally;
        if (::read(pipe_end, &tally, sizeof tally) != sizeof tally) tally.faults = 1;
        ::close(pipe_end);
        ::waitpid(child, nullptr, 0);
        tallies.push_back(tally);
    }
    return tallies;
}

Tally sum(const std::vector<Tally>& tallies) {
    Tally all;
    for (const Tally& tally : tallies) {
        all.entries += tally.entries;
        all.rows += tally.rows;
        all.refused += tally.refused;
        all.faults += tally.faults;
        all.longest_wait_seconds = std::max(all.longest_wait_seconds, tally.longest_wait_seconds);
    }
    return all;
}

void makeShop(const std::filesystem::path& path) {
    ShopFile shop = ShopFile::create(path);
    fillSmallShop(shop);
    StockLedger(shop).post({movement(MovementKind::receipt, "S24-10", "A1", 500),
                            movement(MovementKind::receipt, "S24-15", "A2", 500)});
}

enum class Lives { as_programs_do, with_the_file_open };

void workOn(const std::filesystem::path& path, double seconds, int worker, Lives lives, Tally& tally) {
    const std::uint64_t seed = 1000U + static_cast<unsigned>(worker);
    // Every fourth lives like the window, every fourth like a verb; the others open the file once.
    std::optional<ShopFile> shop;
    std::function<std::optional<Acknowledged>()> step;
    const bool as_programs_do = lives == Lives::as_programs_do;
    if (as_programs_do && worker % 4 == 0) {
        step = [life = std::make_shared<WindowLife>(path, seed)] { return life->step(); };
    } else if (as_programs_do && worker % 4 == 1) {
        step = [life = std::make_shared<VerbLife>(path, seed)] { return life->step(); };
    } else {
        shop = ShopFile::open(path);
        step = [work = std::make_shared<ShopWork>(*shop, seed)] { return work->step(); };
    }
    const auto end = Clock::now() + std::chrono::duration<double>(seconds);
    for (auto now = Clock::now(); now < end;) {
        const auto done = step();
        const auto after = Clock::now();
        tally.longest_wait_seconds =
            std::max(tally.longest_wait_seconds, std::chrono::duration<double>(after - now).count());
        now = after;
        if (done) {
            ++tally.entries;
            tally.rows += done->movements;
        } else {
            ++tally.refused;
        }
    }
}

// Two rows and what follows from them, as an ordinary entry of the ledger writes them; prepared once.
void workPlainly(const std::filesystem::path& path, double seconds, int, Tally& tally) {
    sqlite3* db = nullptr;
    sqlite3_open(path.c_str(), &db);
    // As patient as we are: with SQLite's own waiting some of eight processes never get a turn.
    sqlite3_busy_handler(
        db, [](void*, int looks) { return ::usleep(2'000) == 0 && looks < 30'000 ? 1 : 0; }, nullptr);
    const auto run = [&](const char* sql) {
        if (sqlite3_exec(db, sql, nullptr, nullptr, nullptr) != SQLITE_OK)
            throw std::runtime_error(sqlite3_errmsg(db));
    };
    run("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA cache_size = "
        "-65536");
    std::vector<sqlite3_stmt*> statements;
    const auto prepare = [&](const char* sql) {
        sqlite3_stmt* statement = nullptr;
        if (sqlite3_prepare_v2(db, sql, -1, &statement, nullptr) != SQLITE_OK)
            throw std::runtime_error(sqlite3_errmsg(db));
        statements.push_back(statement);
        return statement;
    };
    sqlite3_stmt* begin = prepare("BEGIN IMMEDIATE");
    sqlite3_stmt* row = prepare("INSERT INTO movements SELECT m + 1, m + ?1, '2026-03-09T14:05:00Z', "
                                "'receipt', ?2, ?2, 0, 1, 1, 0, NULL, NULL, "
                                "NULL, NULL, NULL, NULL, NULL, 'rows=2' FROM (SELECT "
                                "coalesce(max(movement_id), 0) AS m FROM movements)");
    sqlite3_stmt* balance = prepare(
        "INSERT INTO balances VALUES (?1, ?1, 0, 1, 0) ON CONFLICT DO UPDATE SET on_hand = on_hand + 1");
    sqlite3_stmt* commit = prepare("COMMIT");
    const auto step = [&](sqlite3_stmt* statement) {
        if (sqlite3_step(statement) != SQLITE_DONE) throw std::runtime_error(sqlite3_errmsg(db));
        sqlite3_reset(statement);
    };
    const auto end = Clock::now() + std::chrono::duration<double>(seconds);
    while (Clock::now() < end) {
        step(begin);
        for (int i = 0; i < 2; ++i) {
            sqlite3_bind_int(row, 1, 1 - i);
            sqlite3_bind_int(row, 2, i + 1);
            step(row);
            sqlite3_bind_int(balance, 1, i + 1);
            step(balance);
        }
        step(commit);
        ++tally.entries;
        tally.rows += 2;
    }
    for (sqlite3_stmt* statement : statements) sqlite3_finalize(statement);
    sqlite3_close(db);
}

} // namespace

int main(int count, char** arguments) {
    const int processes = count > 1 ? std::atoi(arguments[1]) : 8;
    const double seconds = count > 2 ? std::atof(arguments[2]) : 60;
    const TemporaryFolder folder;
    makeShop(folder / "shop.db");
    makeShop(folder / "open.db");
    makeShop(folder / "plain.db");

    const Tally ours = sum(inProcesses(processes, [&](int worker, Tally& tally) {
        workOn(folder / "shop.db", seconds, worker, Lives::as_programs_do, tally);
    }));
    const ShopFile shop = ShopFile::open(folder / "shop.db");
    std::vector<std::string> wrong = whatIsWrong(shop, {}, VerifyDepth::everything);
    const VerifyReport report = verifyStock(shop);
    if (report.movements != ours.rows + 2)
        wrong.push_back("acknowledged " + std::to_string(ours.rows) + " rows, found " +
                        std::to_string(report.movements - 2));
    if (ours.faults > 0) wrong.push_back(std::to_string(ours.faults) + " processes were told of a fault");

    const double plain_seconds = std::min(seconds, 20.0);
    const Tally open = sum(inProcesses(processes, [&](int worker, Tally& tally) {
        workOn(folder / "open.db", plain_seconds, worker, Lives::with_the_file_open, tally);
    }));
    const Tally plain = sum(inProcesses(processes, [&](int worker, Tally& tally) {
        workPlainly(folder / "plain.db", plain_seconds, worker, tally);
    }));
    const double our_rate = static_cast<double>(open.entries) / plain_seconds;
    const double plain_rate = static_cast<double>(plain.entries) / plain_seconds;
    std::printf(
        "%d processes, %.0f s: %lld entries (%lld rows), %lld refused by the drawers, longest wait %.2f s\n",
        processes, seconds, static_cast<long long>(ours.entries), static_cast<long long>(ours.rows),
        static_cast<long long>(ours.refused), ours.longest_wait_seconds);
    std::printf("with the file kept open: ours %.0f entries/s, plain SQLite %.0f entries/s: ratio %.2f\n",
                our_rate, plain_rate, our_rate / plain_rate);
    if (plain.faults > 0) wrong.push_back("plain SQLite failed");
    for (const std::string& sentence : wrong) std::printf("WRONG: %s\n", sentence.c_str());
    return wrong.empty() ? 0 : 1;
}
