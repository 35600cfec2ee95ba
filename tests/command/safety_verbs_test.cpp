// SPDX-License-Identifier: GPL-3.0-or-later
#include "command_run.h"

#include <catch2/catch.hpp>

using namespace shimledger::command;

namespace {

std::vector<std::string> filesIn(const std::string& folder) {
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        if (entry.path().extension() == ".db") names.push_back(entry.path().filename().string());
    }
    return names;
}

} // namespace

TEST_CASE("A damaged shop is refused, rescued as CSV that comes in again, and restored from the day's backup",
          "[file]") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    // The first verb of the day that may write makes the day's backup, the second none.
    for (int i = 0; i < 2; ++i) {
        CHECK(runShimledger(
                  {"stock", "count", "--db", shop, "--out", folder / ("count" + std::to_string(i) + ".csv")})
                  .code == exit_done);
        CHECK(filesIn(folder / "shop-backups").size() == 1);
    }
    const std::string backup = (folder / "shop-backups/") + filesIn(folder / "shop-backups").front();

    std::string bytes = readBytes(shop);
    bytes.replace(bytes.size() / 2, 8192, std::string(8192, '\x5a'));
    writeBytes(shop, bytes);
    const CommandRun refused = runShimledger({"stock", "verify", "--db", shop});
    CHECK(refused.code == exit_fault);
    CHECK(refused.error.find("damaged") != std::string::npos);
    CHECK(refused.error.find("shop-backups") != std::string::npos);

    const CommandRun rescued = runShimledger({"rescue", "--db", shop, "--out", folder / "saved"});
    CHECK(rescued.out.find("movements.csv: ") != std::string::npos);
    CHECK(readBytes(shop) == bytes);

    const CommandRun restored = runShimledger({"restore", "--db", shop, "--from", backup});
    CHECK(restored.code == exit_done);
    CHECK(restored.out.find("kept as") != std::string::npos);
    CHECK(runShimledger({"stock", "verify", "--db", shop}).code == exit_done);
}

TEST_CASE("Whatever verb is the first of the day, the shop has its backup before it is done", "[file]") {
    const std::vector<std::vector<std::string>> firsts = {
        {"stock", "receive", "--part", "SH-24.0-6-0.12", "--bin", "A02", "--quantity", "3"},
        {"job", "cancel", "--job", "J-001", "--reason", "gone"},
        {"history", "bin", "A02"},
        {"find", "24x6x0.12"}};
    for (const auto& words : firsts) {
        const TemporaryFolder folder;
        const std::string shop = demoShop(folder);
        std::vector<std::string> arguments = words;
        arguments.insert(arguments.end(), {"--db", shop});
        runShimledger(arguments);
        INFO(words.front());
        REQUIRE(std::filesystem::exists(folder / "shop-backups"));
        CHECK(filesIn(folder / "shop-backups").size() == 1);
    }
}

TEST_CASE("Rescuing a sound shop saves everything, and restoring what is no backup changes nothing",
          "[file]") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const std::string before = readBytes(shop);
    const CommandRun rescued = runShimledger({"rescue", "--db", shop, "--out", folder / "saved"});
    CHECK(rescued.code == exit_done);
    CHECK(rescued.out.find("everything could be read") != std::string::npos);
    writeBytes(folder / "letter.txt", "dear diary");
    CHECK(runShimledger({"restore", "--db", shop, "--from", folder / "letter.txt"}).code == exit_bad_input);
    CHECK(readBytes(shop) == before);
    CHECK(
        runShimledger({"stock", "import", "--db", folder / "again.db", "--create", folder / "saved"}).code ==
        exit_done);
    CHECK(runShimledger({"stock", "verify", "--db", folder / "again.db"}).code == exit_done);
}
