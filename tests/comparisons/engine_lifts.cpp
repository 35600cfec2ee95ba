#include "planner/mechanics/lift_model.h"
#include "planner/stack/stack_text.h"

#include <iostream>
#include <vector>

using namespace shimledger;
using namespace shimledger::planner;

/// Prints the engine's lifts of the disc that calculix_lift.py solves, at the same pressures.
int main() {
    const auto mm = Length::fromMillimetres;
    const StackSpec stack({mm(10), mm(13), mm(20), mm(6), {}, {}}, parseStackText("1 x 24 x 0.15"));
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    const std::vector<double> pressures{0.0275, 0.11, 0.22};
    std::vector<double> lifts(pressures.size());
    const SolveReport report =
        model.liftsAtPressures(grouped.sums, pressures, Regime::large, workspace, lifts);
    if (!report.converged) {
        std::cerr << report.reason << '\n';
        return 1;
    }
    for (const double lift : lifts) std::cout << lift << ' ';
    std::cout << '\n';
}
