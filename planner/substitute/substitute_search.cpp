#include "planner/substitute/substitute_search.h"

#include "planner/substitute/box_search.h"
#include "planner/substitute/proposal_builder.h"
#include "planner/substitute/proposal_choice.h"
#include "planner/substitute/proposal_recheck.h"
#include "planner/substitute/proposal_scatter.h"
#include "planner/substitute/request_check.h"
#include "planner/substitute/search_frames.h"
#include "planner/substitute/stock_check.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <deque>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>

namespace shimledger::planner {

namespace {

/// How far the proof goes: to hundredths of a per cent.
std::string provedText(double gap) {
    const long hundredths = std::lround(gap * 1e4);
    if (hundredths == 0) return "Nothing else within the rules is closer than the first proposal.";
    const std::string digits = std::to_string(100 + hundredths % 100).substr(1);
    return "Nothing else within the rules is closer than the first proposal by " +
           std::to_string(hundredths / 100) + "." + digits + " % of pressure or more.";
}

constexpr double progress_seconds = 0.05;
// Full drawers fill a group in tens of thousands of ways, and what changes little is nearly always close
// enough: the search looks at few changes first.
struct Stage {
    std::size_t states_wanted; ///< of each group
    int models;                ///< to look around with, for each set of groups
};
constexpr std::array<Stage, 3> stages{{{250, 40}, {2000, 40}, {1'000'000, 80}}};
constexpr int models_for_choices = 5;

double secondsSince(std::chrono::steady_clock::time_point start) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

bool hopeless(const SearchFrame& frame) {
    return std::any_of(frame.choices.begin(), frame.choices.end(),
                       [](const auto& group) { return group->states.empty(); });
}

class Search {
public:
    Search(const SubstituteRequest& request, TargetCurve target)
        : m_request(request), m_target(std::move(target)), m_groups(targetGroups(*request.target)),
          m_stocks(usableStocks(request)) {
        m_record.may_go_on = [this] { return mayGoOn(); };
        m_record.gap = request.limits.gap;
        m_record.most_choice_deviation = request.rules.most_choice_deviation;
    }

    void run();
    [[nodiscard]] SubstituteResult result() const;

private:
    /// What a frame needs while it is searched, made when it is first looked at.
    struct Bench {
        CurveJudge judge;
        BoxSearch boxes;
        Bench(const SubstituteRequest& request, const std::vector<TargetGroup>& groups,
              const SearchFrame& frame, std::size_t f, const TargetCurve& target, SearchRecord& record)
            : judge(request.target->valve(), frame.shapes, request.rules.regime, target),
              boxes(request, groups, frame, f, judge, record) {}
    };

    /// True where the target itself can be built.
    [[nodiscard]] bool buildable() const {
        return std::any_of(m_frames.begin() + m_first_frame, m_frames.end(), [](const SearchFrame& frame) {
            return frame.moved_groups == 0 && !hopeless(frame) && groupsThatMustChange(frame).empty();
        });
    }

    bool mayGoOn();
    void makeFrames(std::size_t states_wanted);
    void runStage(SearchGoal goal, BoxSearch::Mode mode);
    void runFrame(std::size_t f, int others, SearchGoal goal, BoxSearch::Mode mode);
    void fillProposals(SubstituteResult& result) const;
    void judgeScatter(std::vector<SubstituteProposal>& proposals) const;
    void nothingFound(SubstituteResult& result) const;

    const SubstituteRequest& m_request;
    TargetCurve m_target;
    std::vector<TargetGroup> m_groups;
    std::vector<UsableStock> m_stocks;
    std::deque<SearchFrame> m_frames; ///< of all stages; those of the present one are the last
    const Stage* m_stage = nullptr;
    std::ptrdiff_t m_first_frame = 0;              ///< of the present stage
    std::vector<std::unique_ptr<Bench>> m_benches; ///< by frame
    SearchRecord m_record;
    bool m_proved = false;      ///< nothing closer than the closest
    bool m_lists_cut = false;   ///< some state was not even listed
    bool m_lists_whole = false; ///< every state within the rules was listed
    bool m_cancelled = false;
    double m_last_progress = 0;
};

bool Search::mayGoOn() {
    if (m_cancelled || m_record.examined >= m_request.limits.candidates) return false;
    const double seconds = secondsSince(m_record.start);
    if (seconds > m_request.limits.seconds) return false;
    if (m_request.progress && seconds > m_last_progress + progress_seconds) {
        m_last_progress = seconds;
        m_cancelled = !m_request.progress({m_record.examined, m_record.best(), 0, seconds});
    }
    return !m_cancelled;
}

void Search::makeFrames(std::size_t states_wanted) {
    m_first_frame = static_cast<std::ptrdiff_t>(m_frames.size());
    m_lists_cut = m_lists_whole = false;
    bool more = false;
    for (const UsableStock& stock : m_stocks) {
        FrameList list = searchFrames(m_request, stock, states_wanted, m_record.may_go_on);
        for (SearchFrame& frame : list.frames) m_frames.push_back(std::move(frame));
        m_lists_cut = m_lists_cut || list.cut_short;
        more = more || list.more;
    }
    m_lists_whole = !m_lists_cut && !more;
    m_benches.resize(m_frames.size());
}

void Search::runStage(SearchGoal goal, BoxSearch::Mode mode) {
    // Where the target itself can be built nothing is closer, and nobody asked for a change.
    const int others = buildable() ? 0 : m_request.rules.most_other_groups_changed;
    for (int changed = 0; changed <= others; ++changed) {
        for (std::size_t f = static_cast<std::size_t>(m_first_frame); f < m_frames.size(); ++f)
            runFrame(f, changed, goal, mode);
    }
}

void Search::run() {
    for (const Stage& stage : stages) {
        m_stage = &stage;
        makeFrames(stage.states_wanted);
        runStage(SearchGoal::closest, BoxSearch::Mode::look);
        // What is missing from the lists proves nothing: until they are whole, a look must do.
        if (m_record.best() > m_record.gap && m_lists_whole)
            runStage(SearchGoal::closest, BoxSearch::Mode::prove);
        m_proved =
            m_record.best() <= m_record.gap || (m_lists_whole && !m_record.stopped && m_record.unsolved == 0);
        if (m_proved || m_record.stopped || m_lists_whole) break;
    }
    for (const SearchGoal goal : search_goals) {
        if (goal != SearchGoal::closest && !m_record.choices().empty()) runStage(goal, BoxSearch::Mode::look);
    }
}

/// Every choice of `others` further groups that may change with those that must.
void Search::runFrame(std::size_t f, int others, SearchGoal goal, BoxSearch::Mode mode) {
    const SearchFrame& frame = m_frames[f];
    if (hopeless(frame)) return;
    const std::vector<int> must = groupsThatMustChange(frame);
    std::vector<int> may;
    for (int g = 0; g < static_cast<int>(frame.groups.size()); ++g) {
        const bool choice = frame.choices[static_cast<std::size_t>(g)]->states.size() > 1;
        if (choice && std::find(must.begin(), must.end(), g) == must.end()) may.push_back(g);
    }
    if (others > static_cast<int>(may.size())) return;
    if (!m_benches[f])
        m_benches[f] = std::make_unique<Bench>(m_request, m_groups, frame, f, m_target, m_record);
    std::vector<bool> chosen(may.size(), false);
    std::fill(chosen.begin(), chosen.begin() + others, true);
    do {
        std::vector<int> active = must;
        for (std::size_t i = 0; i < may.size(); ++i) {
            if (chosen[i]) active.push_back(may[i]);
        }
        std::sort(active.begin(), active.end());
        m_benches[f]->boxes.run(active, goal, mode,
                                goal == SearchGoal::closest ? m_stage->models : models_for_choices);
    } while (std::prev_permutation(chosen.begin(), chosen.end()));
}

void Search::judgeScatter(std::vector<SubstituteProposal>& proposals) const {
    const std::optional<ScatterBand> band = scatterBand(*m_request.target, {}, m_target.lifts_mm,
                                                        m_request.rules.tolerance, m_request.rules.regime);
    if (!band) return;
    for (SubstituteProposal& proposal : proposals) {
        if (const auto own = proposalScatter(m_request, proposal)) proposal.own_scatter = own->widest();
        proposal.within_scatter = true;
        for (std::size_t i = 0; i < m_target.lifts_mm.size(); ++i) {
            const double pressure = proposal.pressures_mpa[i];
            if (pressure < band->low_mpa[i] || pressure > band->high_mpa[i]) proposal.within_scatter = false;
        }
    }
}

void Search::fillProposals(SubstituteResult& result) const {
    const auto most = static_cast<std::size_t>(std::max(1, m_request.limits.proposals));
    for (const auto& [index, merits] : chooseProposals(m_record, most)) {
        const EvaluatedStack& stack = m_record.choices()[index];
        SubstituteProposal proposal =
            buildProposal(m_request, m_frames[stack.frame], stack, m_target.lifts_mm, m_target.pressures_mpa);
        proposal.merits = merits;
        result.proposals.push_back(std::move(proposal));
    }
    judgeScatter(result.proposals);
    for (const SubstituteProposal& proposal : result.proposals) {
        const std::vector<std::string> faults = recheckProposal(m_request, proposal);
        if (!faults.empty()) throw std::logic_error("a proposal failed its re-check: " + faults.front());
    }
}

void Search::nothingFound(SubstituteResult& result) const {
    result.status = m_proved ? SubstituteStatus::nothing_possible : SubstituteStatus::found_not_proved;
    const std::vector<Shortage> causes =
        causesOfImpossibility(m_request, {m_frames.begin() + m_first_frame, m_frames.end()});
    if (m_proved && !causes.empty()) {
        result.shortages = causes;
        result.message = "No stack with these ODs can be built: " + causes.front().sentence + ".";
    } else if (m_proved) {
        result.message =
            "No stack within the rules can be built from the drawers; the rules on height, number, "
            "changes or crossover gap exclude all that the discs would allow.";
    } else if (m_record.unsolved > 0 && !m_record.stopped) {
        result.message = "No stack was found whose curve can be computed.";
    } else {
        result.message = "The search ended before any stack was found; give it more time.";
    }
}

SubstituteResult Search::result() const {
    SubstituteResult result;
    result.examined = m_record.examined;
    result.excluded = m_record.excluded;
    result.shortages = checkAgainstStock(m_request);
    if (m_record.choices().empty()) {
        nothingFound(result);
    } else {
        fillProposals(result);
        result.status = m_proved ? SubstituteStatus::proved_best : SubstituteStatus::found_not_proved;
        const double reached = std::max(0.0, m_record.best() - m_record.gap);
        result.lower_bound = m_proved ? reached
                             : !m_lists_whole || m_record.unsolved > 0
                                 ? 0
                                 : std::min(reached, m_record.open_bound);
        result.message = !m_proved && m_record.unsolved > 0 && !m_record.stopped
                             ? "The curves of some stacks could not be computed; one of them may be closer."
                         : !m_proved
                             ? "The search ended before everything was looked at; a closer stack may exist."
                         : buildable() ? "The drawers hold the target itself."
                                       : provedText(m_record.gap);
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
    Search search(request, targetCurve(request.rules, std::move(lifts), std::move(target)));
    search.run();
    return search.result();
}

} // namespace shimledger::planner
