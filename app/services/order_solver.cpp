// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/order_solver.h"

#include "app/services/child_process.h"
#include "planner/reorder/order_model.h"

#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>
#include <system_error>
#include <vector>

namespace shimledger::services {

namespace {

namespace fs = std::filesystem;

/// A folder of its own for model and answer, gone afterwards.
class WorkFolder {
public:
    WorkFolder() {
        std::error_code error;
        std::string pattern = (fs::temp_directory_path(error) / "shimledger-order-XXXXXX").string();
        if (!error && ::mkdtemp(pattern.data()) != nullptr) m_path = pattern;
    }
    ~WorkFolder() {
        std::error_code ignored;
        if (!m_path.empty()) fs::remove_all(m_path, ignored);
    }
    WorkFolder(const WorkFolder&) = delete;
    WorkFolder& operator=(const WorkFolder&) = delete;
    [[nodiscard]] bool made() const { return !m_path.empty(); }
    [[nodiscard]] std::string file(const char* name) const { return (m_path / name).string(); }

private:
    fs::path m_path;
};

std::string readText(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

/// Why the solver's run is no use; nothing where it ended well.
std::string complaint(ChildEnd end, const std::string& program, int patience_s) {
    switch (end) {
    case ChildEnd::done:
        return {};
    case ChildEnd::overdue:
        return "the solver " + program + " had not ended after " + std::to_string(patience_s) +
               " s and was killed";
    case ChildEnd::stopped:
        return "the plan was stopped";
    default:
        return "the solver " + program + " could not be run";
    }
}

} // namespace

fs::path OrderSolver::findProgram() {
    const char* path = std::getenv("PATH"); // NOLINT(concurrency-mt-unsafe): read only
    std::string folders = path != nullptr ? path : "/usr/bin:/bin";
    while (!folders.empty()) {
        const auto end = std::min(folders.find(':'), folders.size());
        fs::path program = fs::path(folders.substr(0, end)) / "cbc";
        if (program.is_absolute() && ::access(program.c_str(), X_OK) == 0) return program;
        folders.erase(0, std::min(end + 1, folders.size()));
    }
    return {};
}

planner::OrderPlan solveOrderPlan(const planner::OrderPlanProblem& problem, const OrderSolver& solver) {
    const auto byRule = [&](const std::string& why) {
        return planner::finishOrderPlan(problem, {}, std::nullopt, why);
    };
    planner::checkOrderPlanProblem(problem);
    if (problem.parts.empty()) return {};
    if (solver.program.empty()) return byRule("the solver cbc is not installed");
    const WorkFolder folder;
    if (!folder.made()) return byRule("there is no room for the solver's files");
    const std::string model = folder.file("order.lp"), answer = folder.file("answer.txt");
    std::ofstream model_file(model, std::ios::binary);
    model_file << planner::orderModelText(problem);
    model_file.close();
    if (!model_file) return byRule("there is no room for the solver's files");
    const int patience_s = solver.seconds + solver.grace_seconds;
    const ChildEnd end = runChild({solver.program.string(), model, "-sec", std::to_string(solver.seconds),
                                   "-threads", "0", "solve", "-solu", answer},
                                  folder.file("report.txt"), std::chrono::seconds(patience_s), solver.stop);
    if (end != ChildEnd::done) return byRule(complaint(end, solver.program.string(), patience_s));
    return planner::finishOrderPlan(problem, planner::readOrderSolution(problem, readText(answer)),
                                    planner::readLowerBound(readText(folder.file("report.txt"))),
                                    "the solver gave no plan");
}

} // namespace shimledger::services
