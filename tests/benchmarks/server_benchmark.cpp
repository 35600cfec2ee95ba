// SPDX-License-Identifier: GPL-3.0-or-later
// server_benchmark [CLIENTS] [SECONDS]: entries of two lines a second that so many benches book on one
// server, and the longest wait of any, against plain libpqxx statements that write the same rows with the
// same durability under the same lock. Runs inside of tests/server/throw-away-server, which keeps fsync on.
#include "inventory/shop_address.h"
#include "inventory/stock_verify.h"
#include "tests/inventory/support.h"

#include <pqxx/connection>
#include <pqxx/nontransaction>
#include <pqxx/transaction>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>

using namespace shimledger;
using namespace shimledger::inventory;
using Clock = std::chrono::steady_clock;

namespace {

struct Tally {
    double entries = 0;
    double longest_s = 0;
};

/// Each in a process of its own; `book` is made there and called again and again.
Tally together(int clients, double seconds, const std::function<std::function<void()>(int)>& begin) {
    std::vector<int> pipes;
    for (int client = 0; client < clients; ++client) {
        int ends[2];
        if (::pipe(ends) != 0) throw std::runtime_error("no pipe");
        if (::fork() == 0) {
            Tally mine;
            try {
                const std::function<void()> book = begin(client);
                const auto end = Clock::now() + std::chrono::duration<double>(seconds);
                while (Clock::now() < end) {
                    const auto start = Clock::now();
                    book();
                    mine.longest_s =
                        std::max(mine.longest_s, std::chrono::duration<double>(Clock::now() - start).count());
                    ++mine.entries;
                }
            } catch (const std::exception& fault) {
                std::fprintf(stderr, "client %d: %s\n", client, fault.what());
                ::_exit(1);
            }
            const bool told = ::write(ends[1], &mine, sizeof mine) == sizeof mine;
            ::_exit(told ? 0 : 1);
        }
        ::close(ends[1]);
        pipes.push_back(ends[0]);
    }
    Tally all;
    for (const int pipe : pipes) {
        Tally one;
        if (::read(pipe, &one, sizeof one) != sizeof one) throw std::runtime_error("a client failed");
        ::close(pipe);
        all.entries += one.entries;
        all.longest_s = std::max(all.longest_s, one.longest_s);
    }
    while (::wait(nullptr) > 0) continue;
    return all;
}

std::function<void()> bookOurs(const std::filesystem::path& address, int client) {
    auto shop = std::make_shared<ShopFile>(ShopFile::open(address));
    return [shop, bin = client % 2 == 0 ? "A1" : "A2"] {
        StockLedger(*shop).post({movement(MovementKind::receipt, "S24-10", bin, 1),
                                 movement(MovementKind::receipt, "S24-15", bin, 1)});
    };
}

std::function<void()> bookPlainly(const std::string& address, int client) {
    auto database = std::make_shared<pqxx::connection>(address);
    database->prepare("next", "SELECT coalesce(max(movement_id), 0) + 1 FROM movements");
    database->prepare("row",
                      "INSERT INTO movements VALUES ($1, $2, '2026-03-09T14:05:00Z', 'receipt', $3, $4, 0, "
                      "1, 1, 0, NULL, NULL, NULL, NULL, NULL, NULL, NULL, '')");
    database->prepare("lot",
                      "UPDATE balances SET on_hand = on_hand + 1 WHERE part_id = $1 AND bin_id = $2 AND "
                      "condition = 0");
    database->prepare("sum", "INSERT INTO batch_checksums VALUES ($1, $2, md5('x'))");
    database->prepare("turn", "INSERT INTO shop_turn VALUES ($1, 1, now()) ON CONFLICT (token) DO UPDATE SET "
                              "written = shop_turn.written + 1, at = now()");
    return [database, client] {
        pqxx::work work(*database);
        work.exec("LOCK TABLE shop_turn IN SHARE ROW EXCLUSIVE MODE");
        const auto first = work.exec_prepared("next")[0][0].as<std::int64_t>();
        const int bin = client % 2 == 0 ? 1 : 2;
        for (int line = 0; line < 2; ++line) {
            work.exec_prepared("row", first + line, first, line + 1, bin);
            work.exec_prepared("lot", line + 1, bin);
        }
        work.exec_prepared("sum", first, first + 1);
        work.exec_prepared("turn", "client " + std::to_string(client));
        work.commit();
    };
}

void makeShop(const std::filesystem::path& address) {
    ShopFile shop = ShopFile::create(address);
    fillSmallShop(shop);
    for (const char* bin : {"A1", "A2"})
        StockLedger(shop).post({movement(MovementKind::receipt, "S24-10", bin, 1),
                                movement(MovementKind::receipt, "S24-15", bin, 1)});
}

} // namespace

int main(int count, char** arguments) {
    const int clients = count > 1 ? std::atoi(arguments[1]) : 16;
    const double seconds = count > 2 ? std::atof(arguments[2]) : 60;
    const TemporaryFolder folder;
    const std::filesystem::path ours = folder.shop("ours");
    const std::filesystem::path plain = folder.shop("plain");
    if (!isServerAddress(ours)) {
        std::fprintf(stderr, "run it inside of tests/server/throw-away-server\n");
        return 2;
    }
    makeShop(ours);
    makeShop(plain);
    // By turns, in two halves each, so that a busy machine is busy for both.
    Tally of_ours;
    Tally of_plain;
    for (int half = 0; half < 2; ++half) {
        const Tally one = together(clients, seconds / 2, [&](int client) { return bookOurs(ours, client); });
        const Tally other =
            together(clients, seconds / 2, [&](int client) { return bookPlainly(plain.string(), client); });
        of_ours = {of_ours.entries + one.entries, std::max(of_ours.longest_s, one.longest_s)};
        of_plain = {of_plain.entries + other.entries, std::max(of_plain.longest_s, other.longest_s)};
    }
    const bool good = verifyStock(ShopFile::openReadOnly(ours)).good();
    std::printf(
        "%d clients, %.0f s each: ours %.0f entries a second, longest wait %.2f s; plain libpqxx %.0f, "
        "%.2f s; plain / ours %.2f; books %s\n",
        clients, seconds, of_ours.entries / seconds, of_ours.longest_s, of_plain.entries / seconds,
        of_plain.longest_s, of_plain.entries / of_ours.entries, good ? "true" : "NOT true");
    return good ? 0 : 1;
}
