// SPDX-License-Identifier: GPL-3.0-or-later
#include "tests/command/command_run.h"

#include <nlohmann/json.hpp>

#include <catch2/catch.hpp>

#include <functional>
#include <string>
#include <vector>

using namespace shimledger::command;
using nlohmann::json;

namespace {

/// Check value: `damping_cases.json` of the planner's tests, the crossover with a bleed at 0.1 m/s.
constexpr double checked_force_n = 47.062392;

json targetFile() {
    return json::parse(
        R"({"valve": {"clamp_od_mm": 10, "port_inner_diameter_mm": 13, "port_outer_diameter_mm": 20, "shim_id_mm": 6},
            "discs": [{"count": 4, "od_mm": 24, "thickness_mm": 0.1}, {"count": 1, "od_mm": 14, "thickness_mm": 0.1},
                      {"count": 1, "od_mm": 22, "thickness_mm": 0.15}, {"count": 1, "od_mm": 18, "thickness_mm": 0.15},
                      {"count": 1, "od_mm": 14, "thickness_mm": 0.2}],
            "flow": {"swept_area_mm2": 300, "port_area_mm2": 60, "bleed_diameter_mm": 1.2, "temperature_c": 40,
                     "oil": {"density_15c_kg_m3": 850, "viscosity_40c_mm2_s": 15, "viscosity_100c_mm2_s": 3.5}}})");
}

class DampingFiles {
public:
    DampingFiles() {
        json target = targetFile();
        writeBytes(target_file, target.dump());
        target["discs"][0] = {{"count", 3}, {"od_mm", 24}, {"thickness_mm", 0.12}};
        target.erase("flow");
        writeBytes(substitute_file, target.dump());
    }
    std::string write(const std::string& name, const std::string& text) const {
        writeBytes(m_folder / name, text);
        return m_folder / name;
    }

private:
    TemporaryFolder m_folder;

public:
    const std::string target_file = m_folder / "target.json", substitute_file = m_folder / "substitute.json";
};

bool oneSentence(const std::string& text) {
    return !text.empty() && text.find('\n') == text.size() - 1;
}

bool says(const json& sentences, const std::string& part) {
    for (const json& sentence : sentences) {
        if (sentence.get<std::string>().find(part) != std::string::npos) return true;
    }
    return false;
}

} // namespace

TEST_CASE("damping --json has the contract's points, and says that it is a model") {
    const DampingFiles files;
    const CommandRun run = runShimledger({"damping", files.target_file, "--speeds", "0.02,0.1", "--json"});
    REQUIRE(run.code == exit_done);
    CHECK(run.error.empty());
    const json root = json::parse(run.out);
    REQUIRE(root["points"].size() == 2);
    const json& point = root["points"][1];
    CHECK(point["speed_m_s"] == 0.1);
    CHECK(point["force_n"].get<double>() == Approx(checked_force_n).epsilon(0.02));
    CHECK(point["drop_mpa"].get<double>() == Approx(checked_force_n / 300).epsilon(0.02));
    CHECK(point["lift_mm"].get<double>() == Approx(0.091137).epsilon(0.02));
    CHECK(point["bleed_share"].get<double>() > 0.3);
    CHECK(point["least_force_n"].get<double>() < point["force_n"].get<double>());
    CHECK(point["falling_force_n"].get<double>() < point["force_n"].get<double>());
    CHECK(point["rising_force_n"].get<double>() > point["force_n"].get<double>());
    CHECK(point["greatest_force_n"].get<double>() > point["force_n"].get<double>());
    CHECK(root["temperatures"].size() == 4);
    CHECK(says(root["warnings"], "not a dyno"));
    CHECK(says(root["warnings"], "both legs"));
    CHECK_FALSE(root.contains("against"));
    CHECK_FALSE(root.contains("cavitation_speed_m_s"));
}

TEST_CASE("damping tells the ratio before the newtons, and takes the other's flow where it has none itself") {
    const DampingFiles files;
    const CommandRun run = runShimledger({"damping", files.substitute_file, "--against", files.target_file});
    REQUIRE(run.code == exit_done);
    const auto ratio = run.out.find("Force against"), newtons = run.out.find("Newtons of the model");
    REQUIRE(ratio != std::string::npos);
    REQUIRE(newtons != std::string::npos);
    CHECK(ratio < newtons);
    CHECK(run.out.find("the bleed carries most of the flow") != std::string::npos);
    const CommandRun same = runShimledger(
        {"damping", files.substitute_file, "--against", files.target_file, "--speeds", "0.1,0.2", "--json"});
    const json points = json::parse(same.out)["against"]["points"];
    REQUIRE(points.size() == 2);
    for (const json& point : points) {
        CHECK(point["force_ratio"].get<double>() > 1);
        CHECK(point["stack_ratio"].get<double>() > point["force_ratio"].get<double>());
        CHECK(point["least_ratio"].get<double>() < point["force_ratio"].get<double>());
        CHECK(point["greatest_ratio"].get<double>() > point["force_ratio"].get<double>());
    }
}

TEST_CASE("damping says which click makes a substitute the target again, and from which speed oil runs out") {
    const DampingFiles files;
    json adjustable = targetFile();
    adjustable["flow"].erase("bleed_diameter_mm");
    adjustable["flow"]["backing_pressure_mpa"] = 0.2;
    adjustable["flow"]["adjuster"] = json::parse(R"({"click": 8, "needle": {"seat_diameter_mm": 2,
        "cone_angle_deg": 20, "pitch_mm": 0.5, "clicks_per_turn": 8, "clicks": 24}})");
    const std::string target = files.write("adjustable.json", adjustable.dump());
    const CommandRun run = runShimledger({"damping", files.substitute_file, "--against", target});
    REQUIRE(run.code == exit_done);
    CHECK(run.out.find("more out") != std::string::npos);
    CHECK(run.out.find("runs empty") != std::string::npos);
    const CommandRun as_json =
        runShimledger({"damping", target, "--against", files.substitute_file, "--json"});
    const json root = json::parse(as_json.out);
    CHECK(root["against"]["clicks"]["click"].get<int>() < 8); // the target is the softer one: clicks in
    CHECK(root["cavitation_speed_m_s"].get<double>() > 0);
}

TEST_CASE("damping of a job holds what was accepted against the target, and marks what is only usual") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const std::vector<std::string> asked{"damping",  "--db",     shop,       "--job",
                                         "JOB-1002", "--speeds", "0.05,0.1", "--json"};
    const CommandRun before = runShimledger(asked);
    REQUIRE(before.code == exit_done);
    const json target = json::parse(before.out);
    CHECK(target["stack"] == "the target");
    CHECK_FALSE(target.contains("against"));
    CHECK(target["points"].size() == 2);
    REQUIRE(target["assumed"].size() == 6);
    CHECK(target["assumed"][0]["field"] == "shaft_mm");
    CHECK(says(target["warnings"], "component model does not say"));
    std::vector<std::string> proposed = asked;
    proposed.insert(proposed.end(), {"--proposal", "1"});
    const CommandRun proposal = runShimledger(proposed);
    REQUIRE(proposal.code == exit_done);
    CHECK(json::parse(proposal.out)["stack"] == "proposal 1");
    REQUIRE(runShimledger({"reserve", "--db", shop, "--job", "JOB-1002"}).code == exit_done);
    const CommandRun accepted = runShimledger(asked);
    REQUIRE(accepted.code == exit_done);
    const json root = json::parse(accepted.out);
    CHECK(root["stack"] == "the accepted stack");
    CHECK(root["against"]["points"].size() == 2);
    CHECK(root["against"]["points"] == json::parse(proposal.out)["against"]["points"]);
    const CommandRun text = runShimledger({"damping", "--db", shop, "--job", "JOB-1002"});
    CHECK(text.out.find("Force against the target in the same valve") != std::string::npos);
    CHECK(text.out.find("taken from what is usual: shaft") != std::string::npos);
}

TEST_CASE("damping of a job takes what its component model says of the valve, and keeps a fit with it") {
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    const std::vector<std::string> valve{"--db", shop, "--model", "FK-LARCH-45", "--valve", "compression"};
    const auto on = [](std::vector<std::string> verb, const std::vector<std::string>& more) {
        verb.insert(verb.end(), more.begin(), more.end());
        const CommandRun run = runShimledger(verb);
        INFO(run.error);
        REQUIRE(run.code == exit_done);
        return run.out;
    };
    std::vector<std::string> sizes = valve;
    sizes.insert(sizes.end(),
                 {"--clamp-od", "10", "--port-inner", "13", "--port-outer", "20", "--shim-id", "6"});
    on({"model", "valve", "set"}, sizes);
    std::vector<std::string> figures = valve;
    figures.insert(figures.end(), {"--piston",
                                   "22.9",
                                   "--shaft",
                                   "12",
                                   "--port-count",
                                   "6",
                                   "--port",
                                   "3.6",
                                   "--adjuster",
                                   "0=0 8=1.2 20=2",
                                   "--click",
                                   "8",
                                   "--temperature-c",
                                   "40",
                                   "--oil-density-kg-m3",
                                   "850",
                                   "--oil-40c-mm2-s",
                                   "15",
                                   "--oil-100c-mm2-s",
                                   "3.5"});
    on({"model", "flow", "set"}, figures);
    const std::vector<std::string> job{"--db", shop, "--job", "JOB-1002"};
    const json told = json::parse(on({"damping", "--json"}, job));
    CHECK(told["assumed"].empty());
    CHECK(told["fitted_to"] == "");
    CHECK_FALSE(says(told["warnings"], "component model does not say"));
    // The same valve as a file.
    const json proposal = json::parse(on({"damping", "--proposal", "1", "--json"}, job));
    CHECK(proposal["against"]["clicks"]["other_click"] == 8);
    // A bench that reads a tenth less than the model.
    std::string bench = "speed_m_s,force_n\n";
    int sign = 1;
    for (const json& point : told["points"]) {
        bench += std::to_string(point["speed_m_s"].get<double>()) + "," +
                 std::to_string(point["force_n"].get<double>() * (0.9 + 0.005 * sign)) + "\n";
        sign = -sign;
    }
    writeBytes(folder / "bench.csv", bench);
    std::vector<std::string> measured = job;
    measured.insert(measured.end(), {"--measured", folder / "bench.csv", "--keep-fit", "--fit", "bleed"});
    const std::string kept = on({"damping"}, measured);
    CHECK(kept.find("The adjuster of valve 'compression' of model FK-LARCH-45 became") != std::string::npos);
    const json after = json::parse(on({"damping", "--json"}, job));
    CHECK(after["fitted_to"].get<std::string>().find(
              "7 readings, oil at 40 C, the target of JOB-1002: bleed ") != std::string::npos);
    CHECK(after["points"][0]["force_n"].get<double>() < told["points"][0]["force_n"].get<double>());
    CHECK(runShimledger({"stock", "verify", "--db", shop}).code == exit_done);
}

TEST_CASE("different flows are compared each as it is, and that is said") {
    const DampingFiles files;
    json wider = targetFile();
    wider["flow"]["bleed_diameter_mm"] = 2;
    const CommandRun run = runShimledger(
        {"damping", files.target_file, "--against", files.write("wider.json", wider.dump()), "--json"});
    REQUIRE(run.code == exit_done);
    const json root = json::parse(run.out);
    CHECK(says(root["warnings"], "different flows"));
    CHECK(root["against"]["points"][0]["force_ratio"].get<double>() > 1.5); // the smaller bleed
}

TEST_CASE("damping fits discharge and bleed to a bench's readings and tells a poor fit") {
    const DampingFiles files;
    const CommandRun model = runShimledger({"damping", files.target_file, "--json"});
    std::string good = "speed_m_s,force_n,note\n", poor = "force_n,speed_m_s\n";
    int sign = 1;
    const json points = json::parse(model.out)["points"];
    REQUIRE(points.size() == 7);
    for (const json& point : points) {
        const double speed = point["speed_m_s"], force = point["force_n"];
        good += std::to_string(speed) + "," + std::to_string(force * (1 + 0.01 * sign)) + ",a\n";
        poor += std::to_string(force * (1 + 0.2 * sign)) + "," + std::to_string(speed) + "\n";
        sign = -sign;
    }
    const CommandRun fitted =
        runShimledger({"damping", files.target_file, "--measured", files.write("good.csv", good), "--fit",
                       "discharge,bleed", "--json"});
    REQUIRE(fitted.code == exit_done);
    const json fit = json::parse(fitted.out)["fit"];
    CHECK(fit["curtain_discharge"]["value"].get<double>() == Approx(0.7).epsilon(0.03));
    CHECK(fit["bleed_diameter_mm"]["value"].get<double>() == Approx(1.2).epsilon(0.03));
    CHECK(fit["bleed_diameter_mm"]["uncertainty"].get<double>() > 0);
    CHECK(fit["doubts"].empty());
    const CommandRun badly =
        runShimledger({"damping", files.target_file, "--measured", files.write("poor.csv", poor)});
    REQUIRE(badly.code == exit_done);
    CHECK(badly.out.find("Fitted to ") != std::string::npos);
    CHECK(badly.out.find("bleed diameter") == std::string::npos); // the discharge alone unless asked for
    CHECK(badly.out.find("The fit is poor") != std::string::npos);
}

TEST_CASE("what damping cannot use is refused with one sentence") {
    const DampingFiles files;
    const auto refused = [](const std::vector<std::string>& arguments, const std::string& part) {
        INFO(part);
        const CommandRun run = runShimledger(arguments);
        CHECK(run.code == exit_bad_input);
        CHECK(run.out.empty());
        CHECK(oneSentence(run.error));
        CHECK(run.error.find(part) != std::string::npos);
    };
    const std::string& target = files.target_file;
    refused({"damping"}, "either STACK.json or --db");
    refused({"damping", target, "--job", "JOB-1002"}, "either STACK.json or --db");
    refused({"damping", "--job", "JOB-1002"}, "belong together");
    refused({"damping", "--db", "shop.db"}, "belong together");
    refused({"damping", "--db", "shop.db", "--job", "JOB-1002", "--against", target}, "its own target");
    refused({"damping", target, "--keep-fit"}, "give --job and --measured");
    refused({"damping", "--db", "shop.db", "--job", "JOB-1002", "--keep-fit"}, "give --job and --measured");
    refused({"damping", target, "--proposal", "0"}, "--proposal");
    const TemporaryFolder folder;
    const std::string shop = demoShop(folder);
    refused({"damping", "--db", shop, "--job", "JOB-1"}, "JOB-1");
    refused({"damping", "--db", shop, "--job", "JOB-1002", "--proposal", "99"}, "there is no proposal 99");
    refused({"damping", files.substitute_file}, "lacks \"flow\"");
    refused({"damping", target, "--speeds", "0.2,0.1"}, "ascend");
    refused({"damping", target, "--speeds", "0"}, "above 0");
    refused({"damping", target, "--speeds", "nan"}, "is no number");
    refused({"damping", target, "--fit", "bleed"}, "--measured");
    const auto measured = [&](const std::string& text, const std::string& part) {
        refused({"damping", target, "--measured", files.write("m.csv", text)}, part);
    };
    measured("", "header");
    measured("speed,force\n0.1,20\n", "speed_m_s");
    measured("speed_m_s,force_n\n0.1,20\n0.2,x\n", "line 3");
    measured("speed_m_s,force_n\n0.1\n", "line 2");
    measured("speed_m_s,force_n\n-0.1,20\n", "one direction");
    measured("speed_m_s,force_n\n", "no readings");
    measured("speed_m_s,force_n\n0.1,20\n0.2,30\n", "needs 3");
    refused(
        {"damping", target, "--measured", files.write("m.csv", "speed_m_s,force_n\n0.1,2\n"), "--fit", "oil"},
        "discharge, bleed");
    json torn = targetFile();
    torn["flow"]["temperatur_c"] = 20;
    refused({"damping", files.write("torn.json", torn.dump())}, "temperatur_c");
}

TEST_CASE("speeds that no lift lets pass end the table with exit code 4") {
    const DampingFiles files;
    json flooded = targetFile();
    flooded["flow"]["swept_area_mm2"] = 100000;
    flooded["flow"]["force_area_mm2"] = 300;
    const CommandRun run = runShimledger(
        {"damping", files.write("flooded.json", flooded.dump()), "--speeds", "0.0005,15", "--json"});
    CHECK(run.code == exit_limit);
    const json root = json::parse(run.out);
    CHECK(root["points"].size() == 1);
    CHECK(says(root["warnings"], "Not every speed"));
}
