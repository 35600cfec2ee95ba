// SPDX-License-Identifier: GPL-3.0-or-later
// A shop of many years against plain prepared statements that do the same rows with the same durability, in
// the same run: scale_benchmark [PARTS] [MOVEMENTS], by default 20000 and 1000000. Prints medians, ratios and
// the time of verify.
#include "tests/benchmarks/plain_sqlite.h"
#include "tests/benchmarks/stock_traffic.h"

#include "inventory/bin.h"
#include "inventory/component_model.h"
#include "inventory/job_book.h"
#include "inventory/part_catalogue.h"
#include "inventory/shop_file.h"
#include "inventory/stock_history.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_verify.h"

#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <numeric>
#include <vector>

using namespace shimledger;
using namespace shimledger::inventory;

namespace {

constexpr int bins = 2000;
constexpr int pull_lines = 30;
constexpr int rounds = 60; // jobs to pull: each round pulls one in both files

double secondsOf(const std::function<void()>& work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

double median(std::vector<double> values) {
    std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2),
                     values.end());
    return values[values.size() / 2];
}

std::string partCode(int part) {
    return "P" + std::to_string(part);
}
std::string binCode(int part) {
    return "B" + std::to_string(part % bins);
}
std::string jobCode(int job) {
    return "J" + std::to_string(job);
}
/// The part of a line of a job's pull, spread over the catalogue; no two lines of a job are alike.
int pulledPart(int job, int line, int parts) {
    return (job * 331 + line * 617) % parts;
}

void addCatalogue(ShopFile& shop, int parts) {
    shop.atomically([&] {
        BinList bin_list(shop);
        for (int bin = 0; bin < bins; ++bin) bin_list.add({binCode(bin), "C", bin, ""});
        PartCatalogue catalogue(shop);
        for (int part = 0; part < parts; ++part) {
            Part shim;
            shim.code = partCode(part);
            shim.kind = PartKind::shim;
            shim.description = "shim";
            shim.od = Length::fromMicrometres(10'000 + 100 * (part % 400));
            shim.id = Length::fromMicrometres(6'000);
            shim.thickness = Length::fromMicrometres(50 + 5 * (part / 400));
            catalogue.add(shim);
        }
        ComponentModel model;
        model.code = "M";
        ComponentModels(shop).add(model);
        for (int job = 0; job < rounds; ++job) {
            Job one;
            one.code = jobCode(job);
            one.model = "M";
            one.valve = {"base",
                         Length::fromMicrometres(8000),
                         Length::fromMicrometres(9000),
                         Length::fromMicrometres(12000),
                         Length::fromMicrometres(6000),
                         {},
                         {}};
            JobBook(shop).add(one);
        }
    });
}

/// Receipts and issues in turn, so that stock never runs out, then the reservations of the jobs to be pulled.
void fillLedger(ShopFile& shop, int parts, int movements) {
    StockLedger ledger(shop);
    postTraffic(ledger, parts, movements, partCode, binCode);
    for (int job = 0; job < rounds; ++job) {
        std::vector<ReservationLine> lines;
        for (int line = 0; line < pull_lines; ++line) {
            const int part = pulledPart(job, line, parts);
            lines.push_back({partCode(part), binCode(part), Condition::fresh, 2, {}});
        }
        ledger.reserve(jobCode(job), lines);
    }
}

/// The fastest of each stands beside the medians: on a busy machine it is the truer one.
void report(const char* what, const std::vector<double>& ours, const std::vector<double>& plain) {
    const double a = 1e3 * median(ours);
    const double b = 1e3 * median(plain);
    const double fastest = *std::min_element(ours.begin(), ours.end());
    const double fastest_plain = *std::min_element(plain.begin(), plain.end());
    std::printf("%-32s %9.3f %9.3f  ratio %5.2f   fastest %9.3f %9.3f  ratio %5.2f\n", what, a, b, a / b,
                1e3 * fastest, 1e3 * fastest_plain, fastest / fastest_plain);
}

void benchOpen(const std::filesystem::path& ours_path, const std::filesystem::path& plain_path) {
    std::vector<double> ours;
    std::vector<double> plain;
    for (int round = 0; round < 15; ++round) {
        ours.push_back(secondsOf([&] {
            const ShopFile shop = ShopFile::open(ours_path);
            if (shop.schemaVersion() < 1) std::abort();
        }));
        plain.push_back(secondsOf([&] {
            PlainDatabase database(plain_path);
            PlainStatement version(database.handle(), "PRAGMA user_version");
            if (!version.next()) std::abort();
        }));
    }
    report("open", ours, plain);
}

void benchFind(ShopFile& shop, PlainDatabase& database, int parts) {
    PlainStatement find(
        database.handle(),
        "SELECT code, kind, description, od_um, id_um, thickness_um, section_um, length_um, size_code, "
        "material, hardness, coating, unit, part_class, reorder_point, shelf_life_months, note FROM parts "
        "WHERE kind = 'shim' AND od_um = ?1 AND id_um = ?2 AND thickness_um = ?3 ORDER BY code");
    const PartCatalogue catalogue(shop);
    std::vector<double> ours;
    std::vector<double> plain;
    constexpr int finds = 200;
    for (int round = 0; round < 40; ++round) {
        ours.push_back(secondsOf([&] {
            for (int i = 0; i < finds; ++i) {
                const int part = (i * 97 + round) % parts;
                const auto found = catalogue.findShim(Length::fromMicrometres(10'000 + 100 * (part % 400)),
                                                      Length::fromMicrometres(6'000),
                                                      Length::fromMicrometres(50 + 5 * (part / 400)));
                if (!found || found->code != partCode(part)) std::abort();
            }
        }));
        plain.push_back(secondsOf([&] {
            for (int i = 0; i < finds; ++i) {
                const int part = (i * 97 + round) % parts;
                find.bind(1, 10'000 + 100 * (part % 400)).bind(2, 6'000).bind(3, 50 + 5 * (part / 400));
                if (!find.next()) std::abort();
                std::vector<std::string> texts;
                for (const int column : {0, 1, 2, 8, 9, 10, 11, 12, 13, 16})
                    texts.push_back(find.text(column));
                std::int64_t sum = 0;
                for (const int column : {3, 4, 5, 6, 7, 14, 15}) sum += find.integer(column);
                if (texts[0] != partCode(part) || sum == 0) std::abort();
                if (find.next()) std::abort();
            }
        }));
    }
    report("find a shim by size, 200 times", ours, plain);
}

void benchHistory(ShopFile& shop, PlainDatabase& database, int parts) {
    PlainStatement id(database.handle(), "SELECT part_id FROM parts WHERE code = ?1");
    PlainStatement rows(
        database.handle(),
        "SELECT m.movement_id, m.batch, m.utc, m.kind, p.code, b.code, m.condition, m.quantity, "
        "m.on_hand_change, "
        "m.reserved_change, o.code, j.code, w.code, m.reason, s.name, m.order_line_id, m.reverses_id, "
        "u.movement_id "
        "FROM movements m JOIN parts p ON p.part_id = m.part_id JOIN bins b ON b.bin_id = m.bin_id "
        "LEFT JOIN bins o ON o.bin_id = m.other_bin_id LEFT JOIN jobs j ON j.job_id = m.job_id "
        "LEFT JOIN parts w ON w.part_id = m.wanted_part_id LEFT JOIN suppliers s ON s.supplier_id = "
        "m.supplier_id "
        "LEFT JOIN movements u ON u.reverses_id = m.movement_id WHERE m.part_id = ?1 ORDER BY m.movement_id");
    const StockHistory history(shop);
    std::vector<double> ours;
    std::vector<double> plain;
    constexpr int looks = 20;
    struct Row {
        std::vector<std::int64_t> numbers;
        std::vector<std::string> texts;
    };
    for (int round = 0; round < 40; ++round) {
        std::size_t read_by_us = 0;
        std::size_t read_plainly = 0;
        ours.push_back(secondsOf([&] {
            for (int i = 0; i < looks; ++i)
                read_by_us += history.ofPart(partCode((round * 41 + i * 7) % parts)).size();
        }));
        plain.push_back(secondsOf([&] {
            for (int i = 0; i < looks; ++i) {
                id.bind(1, partCode((round * 41 + i * 7) % parts));
                if (!id.next()) std::abort();
                rows.bind(1, id.integer(0));
                id.reset();
                std::vector<Row> found;
                while (rows.next()) {
                    Row row;
                    for (const int column : {0, 1, 6, 7, 8, 9, 15, 16, 17})
                        row.numbers.push_back(rows.integer(column));
                    for (const int column : {2, 3, 4, 5, 10, 11, 12, 13, 14})
                        row.texts.push_back(rows.text(column));
                    found.push_back(std::move(row));
                }
                read_plainly += found.size();
            }
        }));
        if (read_by_us != read_plainly || read_by_us == 0) std::abort();
    }
    report("history of a part, 20 times", ours, plain);
}

/// The rows that pullAll writes, by statements that know every row number beforehand.
void pullPlainly(PlainDatabase& database, PlainStatement& held, PlainStatement& last, PlainStatement& insert,
                 PlainStatement& balance, PlainStatement& reservation, PlainStatement& status,
                 std::int64_t job) {
    database.run("BEGIN IMMEDIATE");
    struct Line {
        std::int64_t part, bin, quantity;
    };
    std::vector<Line> lines;
    held.bind(1, job);
    while (held.next()) lines.push_back({held.integer(0), held.integer(1), held.integer(2)});
    if (!last.next()) std::abort();
    std::int64_t number = last.integer(0);
    last.reset();
    const std::int64_t batch = number + 1;
    const std::string utc = "2026-03-09T14:05:00Z";
    for (const Line& line : lines) {
        insert.bind(1, ++number)
            .bind(2, batch)
            .bind(3, utc)
            .bind(4, line.part)
            .bind(5, line.bin)
            .bind(6, line.quantity);
        insert.bind(7, -line.quantity).bind(8, job).run();
        balance.bind(1, line.part).bind(2, line.bin).bind(3, line.quantity).run();
        reservation.bind(1, job).bind(2, line.part).bind(3, line.bin).run();
    }
    status.bind(1, job).run();
    database.run("COMMIT");
}

void benchPull(ShopFile& shop, PlainDatabase& database) {
    sqlite3* handle = database.handle();
    PlainStatement held(handle, "SELECT part_id, bin_id, quantity FROM reservations WHERE job_id = ?1");
    PlainStatement last(handle, "SELECT coalesce(max(movement_id), 0) FROM movements");
    PlainStatement insert(
        handle, "INSERT INTO movements (movement_id, batch, utc, kind, part_id, bin_id, condition, quantity, "
                "on_hand_change, reserved_change, job_id, reason) "
                "VALUES (?1, ?2, ?3, 'issue', ?4, ?5, 0, ?6, ?7, ?7, ?8, 'pulled')");
    PlainStatement balance(handle, "UPDATE balances SET on_hand = on_hand - ?3, reserved = reserved - ?3 "
                                   "WHERE part_id = ?1 AND bin_id = ?2 AND condition = 0");
    PlainStatement reservation(handle,
                               "DELETE FROM reservations WHERE job_id = ?1 AND part_id = ?2 AND bin_id = ?3 "
                               "AND condition = 0 AND wanted_part_id = ?2");
    PlainStatement status(handle, "UPDATE jobs SET status = 'pulled' WHERE job_id = ?1");
    PlainStatement id(handle, "SELECT job_id FROM jobs WHERE code = ?1");
    StockLedger ledger(shop);
    std::vector<double> ours;
    std::vector<double> plain;
    std::vector<double> ours_busy; // of the processor: what a slow or shared disk does not blur
    std::vector<double> plain_busy;
    const auto timed = [](std::vector<double>& wall, std::vector<double>& busy,
                          const std::function<void()>& work) {
        const std::clock_t before = std::clock();
        wall.push_back(secondsOf(work));
        busy.push_back(static_cast<double>(std::clock() - before) / CLOCKS_PER_SEC);
    };
    for (int job = 0; job < rounds; ++job) {
        timed(ours, ours_busy, [&] {
            if (ledger.pullAll(jobCode(job)).movements.size() != pull_lines) std::abort();
        });
        timed(plain, plain_busy, [&] {
            id.bind(1, jobCode(job));
            if (!id.next()) std::abort();
            const std::int64_t job_id = id.integer(0);
            id.reset();
            pullPlainly(database, held, last, insert, balance, reservation, status, job_id);
        });
    }
    report("post a 30-line pull, on the disk", ours, plain);
    report("the same, of the processor", ours_busy, plain_busy);
}

} // namespace

int main(int argc, char** argv) {
    const int parts = argc > 1 ? std::atoi(argv[1]) : 20'000;
    const int movements = argc > 2 ? std::atoi(argv[2]) : 1'000'000;
    std::string pattern = (std::filesystem::temp_directory_path() / "shimledger-scale-XXXXXX").string();
    if (::mkdtemp(pattern.data()) == nullptr) return 1;
    const std::filesystem::path folder = pattern;
    {
        const double filling = secondsOf([&] {
            ShopFile shop =
                ShopFile::create(folder / "shop.db", fixedClock(UtcTime::parse("2026-03-09T14:05:00Z")));
            addCatalogue(shop, parts);
            fillLedger(shop, parts, movements);
        });
        std::printf("%d parts, %d movements posted in %.1f s, %.0f MB\n", parts, movements, filling,
                    static_cast<double>(std::filesystem::file_size(folder / "shop.db")) / 1e6);
        std::filesystem::copy_file(folder / "shop.db", folder / "plain.db");
        std::printf("milliseconds, medians: Shimledger, plain SQLite\n");
        benchOpen(folder / "shop.db", folder / "plain.db");
        ShopFile shop =
            ShopFile::open(folder / "shop.db", fixedClock(UtcTime::parse("2026-03-09T14:05:00Z")));
        PlainDatabase database(folder / "plain.db");
        benchFind(shop, database, parts);
        benchHistory(shop, database, parts);
        benchPull(shop, database);
        for (const auto& [depth, name] :
             {std::pair{VerifyDepth::ledger, "ledger"}, {VerifyDepth::everything, "everything"}}) {
            bool good = false;
            const std::clock_t before = std::clock();
            const double seconds = secondsOf([&] { good = verifyStock(shop, depth).good(); });
            const double busy = static_cast<double>(std::clock() - before) / CLOCKS_PER_SEC;
            std::printf("verify (%s): %.2f s, of the processor %.2f s, %s\n", name, seconds, busy,
                        good ? "true" : "NOT TRUE");
        }
    }
    std::filesystem::remove_all(folder);
    return 0;
}
