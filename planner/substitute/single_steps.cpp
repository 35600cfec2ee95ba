// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/single_steps.h"

#include "planner/stack/stack_text.h"
#include "planner/substitute/target_groups.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <cstdlib>
#include <map>
#include <set>
#include <stdexcept>
#include <tuple>
#include <utility>

namespace shimledger::planner {

namespace {

using Kind = SingleStep::Kind;

const Length gap_step = Length::fromMicrometres(50);     // as discs are sold: 0.05 mm apart
const Length clamp_step = Length::fromMicrometres(1000); // common practice, no source
const Length most_od_step = Length::fromMicrometres(2000);
const Length free_od_step = clamp_step; // where no drawers say which ODs there are

using Size = std::tuple<Length, Length, Length>; // OD, bore, thickness

Length boreOf(const StackSpec& stack, const DiscRow& row) {
    return row.ring_id.value_or(stack.valve().shim_id);
}

std::map<Size, std::int64_t> discsOf(const StackSpec& stack) {
    std::map<Size, std::int64_t> discs;
    for (const DiscRow& row : stack.rows()) discs[{row.od, boreOf(stack, row), row.thickness}] += row.count;
    return discs;
}

std::string sizeText(const DiscRow& row) {
    std::string text = row.od.text() + " x " + row.thickness.text(2);
    if (row.ring_id) text += " ring " + row.ring_id->text();
    return text;
}

class StepMaker {
public:
    explicit StepMaker(const StepQuestion& question)
        : m_question(question), m_base(question.base), m_groups(targetGroups(question.base)) {
        if (question.stock) {
            for (const StockItem& item : *question.stock) {
                m_known.emplace(item.od, item.id, item.thickness);
                m_held[{item.od, item.id, item.thickness}] += item.available;
            }
        }
        for (const DiscRow& row : m_base.rows()) m_known.emplace(row.od, boreOf(m_base, row), row.thickness);
    }

    std::vector<SingleStep> make() {
        for (std::size_t r = 0; r < m_base.rows().size(); ++r) addOfRow(r);
        addOfClamp(Kind::clamp_smaller, m_base.valve().clamp_od - clamp_step);
        addOfClamp(Kind::clamp_larger, m_base.valve().clamp_od + clamp_step);
        return std::move(m_steps);
    }

private:
    void addOfRow(std::size_t r) {
        const DiscRow& row = m_base.rows()[r];
        const TargetGroup& group = groupOf(r);
        if (group.crossover) { // first: what a thicker disc does there, it does by its gap
            addGap(r, Kind::gap_less, row.thickness - gap_step);
            addGap(r, Kind::gap_more, row.thickness + gap_step);
        }
        addCount(r, Kind::one_more, row.count + 1, "one more ");
        addCount(r, Kind::one_fewer, row.count - 1, "one fewer ");
        // Without drawers nobody knows of other sizes than the stack's own, whatever their OD.
        const auto sizeFits = [&](const Size& size) {
            return std::get<1>(size) == boreOf(m_base, row) &&
                   (!m_question.stock || std::get<0>(size) == row.od);
        };
        std::set<Length> thicknesses, ods;
        for (const Size& size : m_known) {
            if (sizeFits(size)) thicknesses.insert(std::get<2>(size));
            if (std::get<1>(size) == boreOf(m_base, row)) ods.insert(std::get<0>(size));
        }
        if (const auto less = nextBelow(thicknesses, row.thickness)) addThickness(r, Kind::thinner, *less);
        if (const auto more = nextAbove(thicknesses, row.thickness)) addThickness(r, Kind::thicker, *more);
        if (row.ring_id || group.under_clamp) return; // the clamp's own step moves those
        if (!m_question.stock) ods = {row.od - free_od_step, row.od + free_od_step};
        if (const auto less = nextBelow(ods, row.od); near(less, row.od)) addOd(r, Kind::smaller, *less);
        if (const auto more = nextAbove(ods, row.od); near(more, row.od)) addOd(r, Kind::larger, *more);
    }

    void addCount(std::size_t r, Kind kind, int count, const char* what) {
        std::vector<DiscRow> rows = m_base.rows();
        if (count == 0)
            rows.erase(rows.begin() + static_cast<std::ptrdiff_t>(r));
        else
            rows[r].count = count;
        add(kind, r, what + sizeText(m_base.rows()[r]), m_base.valve(), std::move(rows));
    }

    void addThickness(std::size_t r, Kind kind, Length thickness) {
        std::vector<DiscRow> rows = m_base.rows();
        rows[r].thickness = thickness;
        std::string words = rowText(rows[r]) + " instead of " + thicknessText(r);
        add(kind, r, std::move(words), m_base.valve(), std::move(rows));
    }

    void addOd(std::size_t r, Kind kind, Length od) {
        std::vector<DiscRow> rows = m_base.rows();
        rows[r].od = od;
        std::string words = rowText(rows[r]) + " instead of OD " + m_base.rows()[r].od.text();
        add(kind, r, std::move(words), m_base.valve(), std::move(rows));
    }

    /// One disc of the crossover is another.
    void addGap(std::size_t r, Kind kind, Length thickness) {
        std::vector<DiscRow> rows = m_base.rows();
        DiscRow other = rows[r];
        other.count = 1;
        other.thickness = thickness;
        std::string words = std::string("gap 0.05 mm ") +
                            (kind == Kind::gap_more ? "wider: " : "narrower: ") + "one " + sizeText(rows[r]) +
                            " becomes " + thickness.text(2);
        if (--rows[r].count == 0)
            rows[r] = other;
        else
            rows.insert(rows.begin() + static_cast<std::ptrdiff_t>(r) + 1, other);
        add(kind, r, std::move(words), m_base.valve(), std::move(rows));
    }

    void addOfClamp(Kind kind, Length od) {
        ValveGeometry valve = m_base.valve();
        std::vector<DiscRow> rows = m_base.rows();
        std::optional<std::size_t> shim; // the first of the discs that are as wide as the clamp
        for (std::size_t r = 0; r < rows.size(); ++r) {
            if (rows[r].ring_id || rows[r].od != valve.clamp_od) continue;
            if (!shim) shim = r;
            rows[r].od = od;
        }
        valve.clamp_od = od;
        std::string words = "clamp " + od.text() + " instead of " + m_base.valve().clamp_od.text() + " mm";
        add(kind, shim, std::move(words), valve, std::move(rows));
        const bool added = !m_steps.empty() && m_steps.back().kind == kind;
        if (shim || !added) return;
        // The disc that clamps is not told among the rows: one of that OD will do, however thick.
        SingleStep& step = m_steps.back();
        step.needed = m_question.legs;
        for (const auto& [size, pieces] : m_held) {
            if (std::get<0>(size) == od && std::get<1>(size) == valve.shim_id) step.available += pieces;
        }
        step.available = std::min(step.available, step.needed);
    }

    void add(Kind kind, std::optional<std::size_t> r, std::string words, const ValveGeometry& valve,
             std::vector<DiscRow> rows) {
        if (rows.empty()) return;
        try {
            StackSpec stack(valve, std::move(rows));
            const bool known = std::any_of(m_steps.begin(), m_steps.end(),
                                           [&](const SingleStep& step) { return step.stack == stack; });
            if (known || stack == m_base) return;
            SingleStep step{
                kind, r ? static_cast<int>(*r) + 1 : 0, std::move(words), std::move(stack), false, {}, 0, 0};
            const auto before = discsOf(m_base);
            for (const auto& [size, count] : discsOf(step.stack)) {
                const auto had = before.find(size);
                const std::int64_t more = count - (had == before.end() ? 0 : had->second);
                if (more <= 0) continue;
                step.needed += more * m_question.legs;
                const auto held = m_held.find(size);
                if (held != m_held.end()) step.available += std::min(held->second, more * m_question.legs);
            }
            m_steps.push_back(std::move(step));
        } catch (const InputError&) { // no stack that can exist
        }
    }

    [[nodiscard]] std::string thicknessText(std::size_t r) const {
        return m_base.rows()[r].thickness.text(2);
    }

    [[nodiscard]] const TargetGroup& groupOf(std::size_t r) const {
        const int row = static_cast<int>(r);
        const auto group = std::find_if(m_groups.begin(), m_groups.end(), [&](const TargetGroup& g) {
            return row >= g.first_row && row < g.first_row + g.row_count;
        });
        return *group;
    }

    /// A neighbour of an OD is no further away than this.
    [[nodiscard]] static bool near(std::optional<Length> od, Length from) {
        return od && std::abs((*od - from).micrometres()) <= most_od_step.micrometres();
    }

    static std::optional<Length> nextBelow(const std::set<Length>& lengths, Length than) {
        const auto at = lengths.lower_bound(than);
        return at == lengths.begin() ? std::nullopt : std::optional(*std::prev(at));
    }

    static std::optional<Length> nextAbove(const std::set<Length>& lengths, Length than) {
        const auto at = lengths.upper_bound(than);
        return at == lengths.end() ? std::nullopt : std::optional(*at);
    }

    const StepQuestion& m_question;
    const StackSpec& m_base;
    std::vector<TargetGroup> m_groups;
    std::set<Size> m_known;
    std::map<Size, std::int64_t> m_held;
    std::vector<SingleStep> m_steps;
};

/// Pressures at the lifts; none with the reason where there is no curve.
std::pair<std::vector<double>, std::string> pressuresOf(const StackSpec& stack,
                                                        const std::vector<double>& lifts_mm, Regime regime) {
    const GroupedStack grouped = groupStack(stack);
    const LiftModel model(stack.valve(), grouped.shapes, GridOptions::portGrid());
    LiftWorkspace workspace = model.makeWorkspace();
    std::vector<double> found(lifts_mm.size());
    const SolveReport solve = model.pressuresAtLifts(grouped.sums, lifts_mm, regime, workspace, found);
    if (!solve.converged) return {{}, solve.reason};
    return {found, {}};
}

} // namespace

const char* singleStepName(SingleStep::Kind kind) {
    switch (kind) {
    case Kind::one_more:
        return "one_more";
    case Kind::one_fewer:
        return "one_fewer";
    case Kind::thinner:
        return "thinner";
    case Kind::thicker:
        return "thicker";
    case Kind::smaller:
        return "smaller";
    case Kind::larger:
        return "larger";
    case Kind::gap_less:
        return "gap_less";
    case Kind::gap_more:
        return "gap_more";
    case Kind::clamp_smaller:
        return "clamp_smaller";
    case Kind::clamp_larger:
        return "clamp_larger";
    }
    throw std::logic_error("unknown kind of a step");
}

StepTable singleSteps(const StepQuestion& question) {
    StepTable table;
    const double full = question.working_lift_mm;
    table.lifts_mm = {full / 10, full / 2, full};
    table.drawers_known = question.stock.has_value();
    auto base = pressuresOf(question.base, table.lifts_mm, question.regime);
    if (base.first.empty()) throw InputError("the stack's own curve cannot be computed: " + base.second);
    table.base_pressures_mpa = std::move(base.first);
    table.steps = StepMaker(question).make();
    for (SingleStep& step : table.steps) {
        const std::vector<double> found = pressuresOf(step.stack, table.lifts_mm, question.regime).first;
        step.solved = !found.empty();
        for (std::size_t i = 0; i < found.size(); ++i)
            step.changes.push_back(found[i] / table.base_pressures_mpa[i] - 1);
    }
    return table;
}

} // namespace shimledger::planner
