// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/substitute/substitute_request.h"

#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace shimledger::planner::test {

/// Discs of one OD and nothing else, small deflection: the pressure at any lift is proportional to sum t^3,
/// so that the search and an integer program can be asked the same. Thicknesses are in hundredths of a
/// millimetre, all for one stack.
struct OneGroupProblem {
    std::vector<int> thickness, pieces; ///< by size
    int target_size = 0, target_count = 1;
    int height_tolerance = 30;
    int most_discs = 60;

    [[nodiscard]] std::int64_t wantedCubes() const {
        const auto t = static_cast<std::int64_t>(thickness[static_cast<std::size_t>(target_size)]);
        return target_count * t * t * t;
    }

    /// Up to nine sizes in small numbers, the target's one too few.
    static OneGroupProblem random(std::mt19937& random) {
        const auto pick = [&](int low, int high) {
            return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
        };
        OneGroupProblem problem;
        for (int t = 8; t <= 30; ++t) {
            if (pick(0, 2) > 0 || problem.thickness.size() == 8) continue;
            problem.thickness.push_back(t);
            problem.pieces.push_back(pick(0, 3));
        }
        problem.thickness.push_back(31);
        problem.pieces.push_back(pick(0, 2));
        problem.target_size = pick(0, static_cast<int>(problem.thickness.size()) - 1);
        problem.target_count = pick(2, 8);
        problem.pieces[static_cast<std::size_t>(problem.target_size)] = pick(0, problem.target_count - 1);
        problem.height_tolerance = pick(0, 4) * 10;
        return problem;
    }

    [[nodiscard]] SubstituteRequest request() const {
        const auto um = [](int hundredths) { return Length::fromMicrometres(10 * hundredths); };
        const Length od = Length::fromMicrometres(24'000), id = Length::fromMicrometres(6'000);
        SubstituteRequest request;
        request.target =
            StackSpec({Length::fromMicrometres(10'000),
                       Length::fromMicrometres(13'000),
                       Length::fromMicrometres(20'000),
                       id,
                       {},
                       Length()},
                      {{target_count, od, um(thickness[static_cast<std::size_t>(target_size)]), {}, {}}});
        for (std::size_t i = 0; i < thickness.size(); ++i) {
            request.stock.push_back({"B" + std::to_string(i),
                                     "",
                                     od,
                                     id,
                                     um(thickness[i]),
                                     {},
                                     false,
                                     2 * pieces[i],
                                     static_cast<std::int64_t>(i),
                                     0});
        }
        request.rules.regime = Regime::small;
        request.rules.height_tolerance = um(height_tolerance);
        request.rules.most_discs = most_discs;
        request.limits.gap = 0;
        request.limits.seconds = 600;
        request.limits.candidates = 1'000'000'000;
        return request;
    }

    /// The least |sum t^3 - wanted| with counts n_i within the pieces and sum n_i t_i within the tolerance.
    [[nodiscard]] std::string integerProgram() const {
        std::ostringstream text;
        const auto sum = [&](int power) {
            for (std::size_t i = 0; i < thickness.size(); ++i)
                text << " + " << std::llround(std::pow(thickness[i], power)) << " n" << i;
        };
        const int height = target_count * thickness[static_cast<std::size_t>(target_size)];
        text << "Minimize\n off: d\nSubject To\n above:";
        sum(3);
        text << " - d <= " << wantedCubes() << "\n below:";
        sum(3);
        text << " + d >= " << wantedCubes() << "\n thinnest:";
        sum(1);
        text << " >= " << height - height_tolerance << "\n thickest:";
        sum(1);
        text << " <= " << height + height_tolerance << "\n some:";
        sum(0);
        text << " >= 1\n many:";
        sum(0);
        text << " <= " << most_discs << "\nBounds\n";
        for (std::size_t i = 0; i < thickness.size(); ++i) text << " n" << i << " <= " << pieces[i] << "\n";
        text << "Generals\n";
        for (std::size_t i = 0; i < thickness.size(); ++i) text << " n" << i << "\n";
        text << "End\n";
        return text.str();
    }
};

/// Runs the mixed-integer solver `cbc` (Debian package coinor-cbc) in a folder of its own.
class CbcProgram {
public:
    CbcProgram() {
        std::string pattern = (std::filesystem::temp_directory_path() / "shimledger-cbc-XXXXXX").string();
        if (::mkdtemp(pattern.data()) == nullptr) throw std::runtime_error("no temporary folder");
        m_folder = pattern;
    }
    ~CbcProgram() {
        std::error_code ignored;
        std::filesystem::remove_all(m_folder, ignored);
    }
    CbcProgram(const CbcProgram&) = delete;
    CbcProgram& operator=(const CbcProgram&) = delete;

    /// The least deviation of the cube sum, from the counts that the solver found; negative where it proved
    /// that there are none. Throws where it did neither.
    [[nodiscard]] double leastDeviation(const OneGroupProblem& problem) const {
        const std::string answer = solve(problem.integerProgram());
        std::istringstream lines(answer);
        std::string line;
        std::getline(lines, line);
        if (line.find("Infeasible") != std::string::npos || line.find("infeasible") != std::string::npos)
            return -1;
        if (line.rfind("Optimal", 0) != 0) throw std::runtime_error("cbc gave no optimum: " + line);
        std::int64_t cubes = 0;
        while (std::getline(lines, line)) {
            std::istringstream fields(line);
            fields.imbue(std::locale::classic());
            int row = 0;
            std::string name;
            double value = 0;
            if (!(fields >> row >> name >> value) || name[0] != 'n') continue;
            const std::int64_t t = problem.thickness.at(std::stoul(name.substr(1)));
            cubes += std::llround(value) * t * t * t;
        }
        const auto wanted = static_cast<double>(problem.wantedCubes());
        return std::abs(static_cast<double>(cubes) - wanted) / wanted;
    }

    [[nodiscard]] std::string solve(const std::string& program) const {
        const std::string model = (m_folder / "model.lp").string(),
                          answer = (m_folder / "answer.txt").string();
        std::ofstream(model) << program;
        std::filesystem::remove(answer);
        const std::string words = "LC_ALL=C cbc '" + model + "' -ratio 0 -allow 0 solve -solu '" + answer +
                                  "' > '" + (m_folder / "report.txt").string() + "' 2>&1";
        // NOLINTNEXTLINE(cert-env33-c,concurrency-mt-unsafe): a test's own words
        if (std::system(words.c_str()) != 0) throw std::runtime_error("cbc (package coinor-cbc) did not run");
        std::ifstream in(answer);
        return {std::istreambuf_iterator<char>(in), {}};
    }

private:
    std::filesystem::path m_folder;
};

} // namespace shimledger::planner::test
