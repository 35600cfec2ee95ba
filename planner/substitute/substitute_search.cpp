#include "planner/substitute/substitute_search.h"

#include "planner/substitute/proposal_builder.h"
#include "planner/substitute/proposal_recheck.h"
#include "planner/substitute/request_check.h"
#include "planner/substitute/search_frames.h"
#include "planner/substitute/stock_check.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <limits>
#include <memory>
#include <stdexcept>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

// Stacks that only change what is short are all evaluated up to this deviation, so that the tuner has a
// choice.
constexpr double wide_look = 0.15;
// Other choices are shown up to this deviation, or three times the closest one's.
constexpr double poorest_choice = 0.20;
constexpr double progress_seconds = 0.05;

double secondsSince(std::chrono::steady_clock::time_point start) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// One run over one selection of the stock (all discs, only new ones, only used ones).
class Search {
public:
    Search(const SubstituteRequest& request, std::vector<double> lifts_mm, std::vector<double> target_mpa)
        : m_request(request), m_lifts(std::move(lifts_mm)), m_target(std::move(target_mpa)) {
        m_record.may_go_on = [this] { return mayGoOn(); };
    }

    void addStock(const UsableStock& stock) {
        std::vector<SearchFrame> frames = searchFrames(m_request, stock, m_state_limit_hit);
        for (SearchFrame& frame : frames) m_frames.push_back(std::move(frame));
    }

    void run() {
        for (int others = 0; others <= m_request.rules.most_other_groups_changed; ++others) {
            for (std::size_t f = 0; f < m_frames.size(); ++f) runFrame(f, others);
        }
    }

    [[nodiscard]] SubstituteResult result() const;
    [[nodiscard]] const std::vector<SearchFrame>& frames() const { return m_frames; }
    [[nodiscard]] bool everyFrameEmpty() const {
        return std::all_of(m_frames.begin(), m_frames.end(),
                           [](const SearchFrame& frame) { return hopeless(frame); });
    }

private:
    static bool hopeless(const SearchFrame& frame) {
        return std::any_of(frame.states.begin(), frame.states.end(),
                           [](const auto& states) { return states.empty(); });
    }

    bool mayGoOn() {
        if (m_cancelled) return false;
        if (m_record.examined >= m_request.limits.candidates) return false;
        const double seconds = secondsSince(m_record.start);
        if (seconds > m_request.limits.seconds) return false;
        if (m_request.progress && seconds > m_last_progress + progress_seconds) {
            m_last_progress = seconds;
            m_cancelled = !m_request.progress({m_record.examined, m_record.best, 0, seconds});
        }
        return !m_cancelled;
    }

    /// Every choice of `others` further groups that may change with those that must.
    void runFrame(std::size_t f, int others) {
        const SearchFrame& frame = m_frames[f];
        if (hopeless(frame) || m_record.stopped) return;
        const std::vector<int> must = groupsThatMustChange(frame);
        std::vector<int> may;
        for (int g = 0; g < static_cast<int>(frame.groups.size()); ++g) {
            const bool choice = frame.states[static_cast<std::size_t>(g)].size() > 1;
            if (choice && std::find(must.begin(), must.end(), g) == must.end()) may.push_back(g);
        }
        if (others > static_cast<int>(may.size())) return;
        if (m_judges.size() < m_frames.size()) m_judges.resize(m_frames.size());
        if (!m_judges[f]) {
            m_judges[f] = std::make_unique<CurveJudge>(*m_request.target, frame.shapes, m_request.rules,
                                                       m_lifts, m_target);
        }
        BoxSearch boxes(m_request, targetGroups(*m_request.target), frame, f, *m_judges[f], m_record);
        std::vector<bool> chosen(may.size(), false);
        std::fill(chosen.begin(), chosen.begin() + others, true);
        do {
            std::vector<int> active = must;
            for (std::size_t i = 0; i < may.size(); ++i) {
                if (chosen[i]) active.push_back(may[i]);
            }
            std::sort(active.begin(), active.end());
            if (m_record.stopped) {
                m_record.open_bound = 0; // this set was not even begun
                return;
            }
            boxes.run(active, others == 0 ? wide_look : 0);
        } while (std::prev_permutation(chosen.begin(), chosen.end()));
    }

    void fillProposals(SubstituteResult& result) const;
    void judgeScatter(std::vector<SubstituteProposal>& proposals) const;

    const SubstituteRequest& m_request;
    std::vector<double> m_lifts, m_target;
    std::vector<SearchFrame> m_frames;
    std::vector<std::unique_ptr<CurveJudge>> m_judges;
    SearchRecord m_record;
    bool m_state_limit_hit = false;
    bool m_cancelled = false;
    double m_last_progress = 0;
};

std::int64_t magnitude(Length length) {
    return std::abs(length.micrometres());
}

/// The closest, the one with fewest changes, the least height change, the cheapest, then the next closest.
std::vector<std::pair<std::size_t, ProposalMerits>> chosen(const std::vector<EvaluatedStack>& stacks,
                                                           std::size_t most) {
    std::vector<std::size_t> order(stacks.size());
    for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
    const auto key = [&](std::size_t i) {
        const EvaluatedStack& s = stacks[i];
        return std::tuple(s.deviation, s.discs_changed, magnitude(s.height_change), s.cost, s.frame, s.state);
    };
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return key(a) < key(b); });
    const double poorest = std::max(poorest_choice, 3 * stacks[order.front()].deviation);
    std::erase_if(order, [&](std::size_t i) { return stacks[i].deviation > poorest; });
    const auto leastBy = [&](auto measure) {
        return *std::min_element(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
            return std::pair(measure(stacks[a]), key(a)) < std::pair(measure(stacks[b]), key(b));
        });
    };
    const std::size_t fewest = leastBy([](const EvaluatedStack& s) { return std::int64_t{s.discs_changed}; });
    const std::size_t flattest = leastBy([](const EvaluatedStack& s) { return magnitude(s.height_change); });
    const std::size_t cheapest = leastBy([](const EvaluatedStack& s) { return s.cost; });
    const bool prices_known = stacks[cheapest].cost > 0;
    std::vector<std::size_t> picked{order.front()};
    for (const std::size_t i : {fewest, flattest, cheapest}) {
        if (std::find(picked.begin(), picked.end(), i) == picked.end()) picked.push_back(i);
    }
    for (const std::size_t i : order) {
        if (picked.size() >= most) break;
        if (std::find(picked.begin(), picked.end(), i) == picked.end()) picked.push_back(i);
    }
    picked.resize(std::min(picked.size(), most));
    std::sort(picked.begin(), picked.end(), [&](std::size_t a, std::size_t b) { return key(a) < key(b); });
    std::vector<std::pair<std::size_t, ProposalMerits>> result;
    for (const std::size_t i : picked) {
        result.push_back(
            {i, {i == order.front(), i == fewest, i == flattest, prices_known && i == cheapest}});
    }
    return result;
}

void Search::judgeScatter(std::vector<SubstituteProposal>& proposals) const {
    const std::optional<ScatterBand> band =
        scatterBand(*m_request.target, {}, m_lifts, m_request.rules.tolerance, m_request.rules.regime);
    if (!band) return;
    for (SubstituteProposal& proposal : proposals) {
        proposal.within_scatter = true;
        for (std::size_t i = 0; i < m_lifts.size(); ++i) {
            const double pressure = proposal.pressures_mpa[i];
            if (pressure < band->low_mpa[i] || pressure > band->high_mpa[i]) proposal.within_scatter = false;
        }
    }
}

void Search::fillProposals(SubstituteResult& result) const {
    const std::size_t most = static_cast<std::size_t>(std::max(1, m_request.limits.proposals));
    for (const auto& [index, merits] : chosen(m_record.choices, most)) {
        const EvaluatedStack& stack = m_record.choices[index];
        SubstituteProposal proposal =
            buildProposal(m_request, m_frames[stack.frame], stack, m_lifts, m_target);
        proposal.merits = merits;
        result.proposals.push_back(std::move(proposal));
    }
    judgeScatter(result.proposals);
    for (const SubstituteProposal& proposal : result.proposals) {
        const std::vector<std::string> faults = recheckProposal(m_request, proposal);
        if (!faults.empty()) throw std::logic_error("a proposal failed its re-check: " + faults.front());
    }
}

SubstituteResult Search::result() const {
    SubstituteResult result;
    result.examined = m_record.examined;
    result.excluded = m_record.excluded;
    result.shortages = checkAgainstStock(m_request);
    const bool complete = !m_record.stopped && !m_state_limit_hit;
    if (!m_record.choices.empty()) {
        fillProposals(result);
        result.status = complete ? SubstituteStatus::proved_best : SubstituteStatus::found_not_proved;
        result.lower_bound =
            complete ? m_record.best : std::min(m_record.best, m_state_limit_hit ? 0 : m_record.open_bound);
        result.message = result.shortages.empty() ? "The drawers hold the target itself."
                         : complete
                             ? "Nothing else within the rules is closer than the first proposal."
                             : "The search ended before everything was looked at; a closer stack may exist.";
    } else if (complete) {
        result.status = SubstituteStatus::nothing_possible;
        result.message =
            "No stack within the rules can be built from the drawers; the rules on height, number, "
            "changes or crossover gap exclude all that the discs would allow.";
    } else {
        result.status = SubstituteStatus::found_not_proved;
        result.message = "The search ended before any stack was found; give it more time.";
    }
    result.seconds = secondsSince(m_record.start);
    return result;
}

} // namespace

const char* substituteStatusName(SubstituteStatus status) {
    switch (status) {
    case SubstituteStatus::not_run:
        return "not_run";
    case SubstituteStatus::proved_best:
        return "proved_best";
    case SubstituteStatus::found_not_proved:
        return "found_not_proved";
    case SubstituteStatus::nothing_possible:
        return "nothing_possible";
    case SubstituteStatus::bad_request:
        return "bad_request";
    }
    throw std::logic_error("unknown substitute status");
}

SubstituteResult findSubstitutes(const SubstituteRequest& request) {
    const auto start = std::chrono::steady_clock::now();
    SubstituteResult refused;
    refused.status = SubstituteStatus::bad_request;
    refused.message = whatIsWrongWith(request);
    if (!refused.message.empty()) return refused;

    std::vector<double> lifts = comparisonLifts(request.rules.working_lift_mm);
    const GroupedStack grouped = groupStack(*request.target);
    const LiftModel model(request.target->valve(), grouped.shapes);
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> target(lifts.size());
    const SolveReport solve =
        model.pressuresAtLifts(grouped.sums, lifts, request.rules.regime, workspace, target);
    if (!solve.converged) {
        refused.message = "The target's own curve cannot be computed: " + solve.reason + ".";
        return refused;
    }
    const UsableStock all(request, {});
    Search search(request, lifts, target);
    const bool as_it_is = checkAgainstStock(request).empty();
    SubstituteRequest only_target = request;
    if (as_it_is) only_target.rules.most_other_groups_changed = 0;
    Search target_search(only_target, lifts, target);
    Search& used = as_it_is ? target_search : search;
    if (request.rules.mix_new_and_used) {
        used.addStock(all);
    } else {
        used.addStock(UsableStock(request, false));
        used.addStock(UsableStock(request, true));
    }
    const std::vector<Shortage> causes = causesOfImpossibility(request, used.frames());
    if (used.everyFrameEmpty()) {
        SubstituteResult result;
        result.status = SubstituteStatus::nothing_possible;
        result.shortages = causes.empty() ? checkAgainstStock(request) : causes;
        result.message = causes.empty()
                             ? "No stack within the rules can be built from the drawers."
                             : "No stack with these ODs can be built: " + causes.front().sentence + ".";
        result.seconds = secondsSince(start);
        return result;
    }
    used.run();
    SubstituteResult result = used.result();
    if (result.status == SubstituteStatus::nothing_possible && !causes.empty()) {
        result.shortages = causes;
        result.message = "No stack with these ODs can be built: " + causes.front().sentence + ".";
    }
    return result;
}

} // namespace shimledger::planner
