#include "app/services/order_solver.h"

#include "planner/reorder/order_model.h"

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

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

/// Runs the program to its end, what it prints going to `report`; false when it could not be run or failed.
bool run(const std::vector<std::string>& words, const std::string& report) {
    std::vector<std::string> held = words;
    std::vector<char*> arguments;
    arguments.reserve(held.size() + 1);
    for (std::string& word : held) arguments.push_back(word.data());
    arguments.push_back(nullptr);
    // Numbers in the C locale, whatever the shop's language.
    std::vector<std::string> names{"LC_ALL=C", "PATH=/usr/bin:/bin"};
    std::vector<char*> environment{names[0].data(), names[1].data(), nullptr};
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
    posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, report.c_str(), O_WRONLY | O_CREAT | O_TRUNC,
                                     0600);
    posix_spawn_file_actions_adddup2(&actions, STDOUT_FILENO, STDERR_FILENO);
    pid_t child = 0;
    const int failed =
        ::posix_spawn(&child, arguments[0], &actions, nullptr, arguments.data(), environment.data());
    posix_spawn_file_actions_destroy(&actions);
    if (failed != 0) return false;
    int status = 0;
    while (::waitpid(child, &status, 0) < 0) {
        if (errno != EINTR) return false;
    }
    return WIFEXITED(status) && WEXITSTATUS(status) == 0;
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
    std::ofstream(model, std::ios::binary) << planner::orderModelText(problem);
    const bool ran = run({solver.program.string(), model, "-sec", std::to_string(solver.seconds), "-threads",
                          "0", "solve", "-solu", answer},
                         folder.file("report.txt"));
    if (!ran) return byRule("the solver " + solver.program.string() + " could not be run");
    return planner::finishOrderPlan(problem, planner::readOrderSolution(problem, readText(answer)),
                                    planner::readLowerBound(readText(folder.file("report.txt"))),
                                    "the solver gave no plan");
}

} // namespace shimledger::services
