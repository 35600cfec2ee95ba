// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "app/command/verbs.h"
#include "inventory/csv_import.h"
#include "inventory/shop_file.h"

#include <nlohmann/json.hpp>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include <unistd.h>

namespace fs = std::filesystem;
using namespace shimledger;

namespace {

/// A folder of its own for every test, gone afterwards.
class Folder {
public:
    Folder() {
        static std::atomic<int> number{0};
        m_path = fs::temp_directory_path() /
                 ("shimledger-command-" + std::to_string(::getpid()) + "-" + std::to_string(++number));
        fs::create_directories(m_path);
    }
    ~Folder() {
        std::error_code ignored;
        fs::remove_all(m_path, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] std::string file(const std::string& name) const { return (m_path / name).string(); }
    std::string write(const std::string& name, const std::string& text) const {
        std::ofstream(file(name), std::ios::binary) << text;
        return file(name);
    }

private:
    fs::path m_path;
};

struct Answer {
    int code = 0;
    std::string out, error;
};

Answer run(const std::vector<std::string>& arguments) {
    std::ostringstream out, error;
    command::Streams streams{out, error};
    const int code = command::runCommand(arguments, streams);
    return {code, out.str(), error.str()};
}

const std::string stack_json =
    R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20, "shim_id_mm": 6},
    "discs": [{"count": 3, "od_mm": 24, "thickness_mm": 0.15}, {"count": 1, "od_mm": 20, "thickness_mm": 0.15}]})";

std::string demoShop(const Folder& folder) {
    auto shop = inventory::ShopFile::create(folder.file("shop.db"));
    inventory::importShopFolder(shop, SHIMLEDGER_SEED_CATALOG);
    return folder.file("shop.db");
}

bool isZip(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    char magic[2] = {};
    file.read(magic, 2);
    return magic[0] == 'P' && magic[1] == 'K';
}

} // namespace

TEST_CASE("help is given and ends well", "[command]") {
    const Answer answer = run({"--help"});
    CHECK(answer.code == 0);
    CHECK(answer.out.find(
              "Exit codes: 0 done, 1 fault, 2 bad input, 3 proved impossible, 4 limit reached first") !=
          std::string::npos);
    for (const char* verb : {"demo", "lift", "substitute", "stock", "pick", "reorder", "backup"}) {
        CHECK(answer.out.find(verb) != std::string::npos);
        CHECK(run({verb, "--help"}).code == 0);
    }
}

TEST_CASE("arguments that make no sense end with code 2", "[command]") {
    CHECK(run({}).code == 2);
    CHECK(run({"lift"}).code == 2);
    CHECK(run({"lift", "nosuchfile.json"}).code == 2);
    CHECK(run({"nosuchverb"}).code == 2);
    CHECK(run({"substitute"}).code == 2);
    CHECK(run({"stock", "verify", "--db", "nosuchfile.db"}).code == 2);
}

TEST_CASE("lift gives the points asked for, in the JSON of the contract", "[command]") {
    const Folder folder;
    const std::string stack = folder.write("stack.json", stack_json);
    const Answer answer = run({"lift", stack, "--pressures", "0.1,0.2,0.4", "--json"});
    REQUIRE(answer.code == 0);
    const auto root = nlohmann::json::parse(answer.out);
    CHECK(root["model"] == "large");
    REQUIRE(root["points"].size() == 3);
    CHECK(root["points"][1]["pressure_mpa"] == 0.2);
    CHECK(root["points"][1]["lift_mm"].get<double>() > root["points"][0]["lift_mm"].get<double>());
    CHECK(root["warnings"].is_array());
    const auto small =
        nlohmann::json::parse(run({"lift", stack, "--pressures", "0.4", "--model", "small", "--json"}).out);
    CHECK(small["points"][0]["lift_mm"].get<double>() > root["points"][2]["lift_mm"].get<double>());
    const auto warp = nlohmann::json::parse(
        run({"lift", stack, "--pressures", "0.4,1.8", "--model", "warp", "--json"}).out);
    CHECK(warp["onset"]["lobes"].get<int>() >= 2);
    CHECK(warp["points"][1]["max_lift_mm"].get<double>() > warp["points"][1]["min_lift_mm"].get<double>());
    CHECK(run({"lift", stack, "--pressures", "0.2,0.1"}).code == 2);
    CHECK(run({"lift", stack, "--model", "cube"}).code == 2);
    CHECK(run({"lift", stack}).out.find("load share") != std::string::npos);
}

TEST_CASE("substitute from files finds what the stock can build, with pulls that exist", "[command]") {
    const Folder folder;
    const std::string stack = folder.write("stack.json", stack_json);
    const std::string stock = folder.write(
        "stock.csv", "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity\n"
                     "shim,24,6,0.15,,new,A1,4\nshim,24,6,0.20,0.198,new,A2,6\nshim,24,6,0.10,,used,A3,12\n"
                     "shim,20,6,0.15,,new,A4,2\no_ring,,,,,new,B1,5\n");
    const Answer answer = run({"substitute", stack, "--stock", stock, "--legs", "2", "--json"});
    REQUIRE(answer.code == 0);
    const auto root = nlohmann::json::parse(answer.out);
    CHECK(root["status"] == "proved_best");
    REQUIRE_FALSE(root["proposals"].empty());
    int discs = 0, pulled = 0;
    for (const auto& disc : root["proposals"][0]["discs"]) discs += disc["count"].get<int>();
    for (const auto& pull : root["proposals"][0]["pulls"]) pulled += pull["quantity"].get<int>();
    CHECK(pulled == 2 * discs);
    CHECK(run({"substitute", stack, "--stock", stock, "--legs", "3"}).code ==
          3); // two 20 x 0.15 for three legs
    CHECK(run({"substitute", stack, "--stock", stock, "--legs", "0"}).code == 2);
    CHECK(run({"substitute", stack, "--stock", stock, "--working-lift", "-1"}).code == 2);
}

TEST_CASE("every bad line of a stock file is named in one go", "[command]") {
    const Folder folder;
    const std::string stack = folder.write("stack.json", stack_json);
    const std::string stock = folder.write(
        "stock.csv",
        "kind,od_mm,id_mm,thickness_mm,measured_mm,condition,bin,quantity\n"
        "shim,24,6,0.1505,,new,A1,4\nshim,24,6,0.15,,old,A1,4\nshim,24,6,0.15,,new,A1,-4\nshim,24\n");
    const Answer answer = run({"substitute", stack, "--stock", stock});
    CHECK(answer.code == 2);
    CHECK(answer.error.find("line 2, column 4") != std::string::npos);
    CHECK(answer.error.find("line 3, column 6") != std::string::npos);
    CHECK(answer.error.find("line 4, column 8") != std::string::npos);
    CHECK(answer.error.find("line 5") != std::string::npos);
}

TEST_CASE("a job goes from short to picked on the demo shop, and the books stay true", "[command][file]") {
    const Folder folder;
    const std::string shop = demoShop(folder);
    CHECK(run({"pick", "--db", shop, "--job", "JOB-1002", "--out", folder.file("early.xlsx")}).code ==
          2); // nothing reserved
    CHECK(run({"substitute", "--db", shop, "--job", "JOB-1005"}).code == 3);
    CHECK(run({"reserve", "--db", shop, "--job", "JOB-1002"}).code == 0);
    const Answer again = run({"reserve", "--db", shop, "--job", "JOB-1002"});
    CHECK(again.code == 2);
    const Answer pick = run(
        {"pick", "--db", shop, "--job", "JOB-1002", "--out", folder.file("pick.xlsx"), "--paper", "letter"});
    CHECK(pick.code == 0);
    CHECK(pick.out.find("Caution:") != std::string::npos);
    CHECK(isZip(folder.file("pick.xlsx")));
    CHECK(run({"reorder", "--db", shop, "--out", folder.file("reorder.xlsx")}).code == 0);
    CHECK(isZip(folder.file("reorder.xlsx")));
    CHECK(run({"backup", "--db", shop, "--out", folder.file("copy.db")}).code == 0);
    CHECK(run({"stock", "verify", "--db", folder.file("copy.db")}).code == 0);
    CHECK(run({"stock", "verify", "--db", shop}).out.find("True:") == 0);
    CHECK(run({"job", "show", "--db", shop, "--job", "JOB-1002"}).out.find("build") != std::string::npos);
}

TEST_CASE("a count sheet goes out, comes back, and corrects what differs", "[command][file]") {
    const Folder folder;
    const std::string shop = demoShop(folder);
    REQUIRE(run({"stock", "count", "--db", shop, "--out", folder.file("count.csv")}).code == 0);
    std::ifstream sheet(folder.file("count.csv"));
    std::string header, first;
    std::getline(sheet, header);
    std::getline(sheet, first);
    REQUIRE(first.ends_with(",,\r"));
    const std::string filled =
        folder.write("filled.csv", header + "\n" + first.substr(0, first.size() - 2) + "999,\n");
    const Answer preview = run({"stock", "count", "--db", shop, "--in", filled, "--preview"});
    CHECK(preview.out.find("1 would be corrected") != std::string::npos);
    CHECK(run({"stock", "count", "--db", shop, "--in", filled}).out.find("1 corrected") != std::string::npos);
    CHECK(run({"stock", "count", "--db", shop, "--in", filled}).out.find("0 corrected") != std::string::npos);
    CHECK(run({"stock", "verify", "--db", shop}).code == 0);
    CHECK(run({"stock", "count", "--db", shop, "--in", folder.write("bad.csv", "a,b\n")}).code == 2);
}

TEST_CASE("a file that is no shop file is refused", "[command]") {
    const Folder folder;
    CHECK(run({"stock", "verify", "--db", folder.write("letter.txt", "Dear shop")}).code == 2);
}
