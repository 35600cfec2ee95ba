// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/job_view.h"

#include "app/desk/counted.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/path_text.h"
#include "app/services/built_job.h"
#include "app/services/cautions.h"
#include "app/services/component_valves.h"
#include "app/services/job_intake.h"
#include "app/services/job_list.h"
#include "app/services/job_wishes.h"
#include "app/services/known_flow.h"
#include "app/services/plan_job.h"
#include "app/services/short_jobs.h"
#include "app/services/stack_view.h"
#include "app/services/warp_check.h"
#include "app/services/working_lift.h"
#include "inventory/job_book.h"
#include "inventory/job_valves.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "planner/substitute/proposal_scatter.h"
#include "planner/substitute/pulled_sums.h"

#include <QCoreApplication>

#include <algorithm>
#include <map>
#include <set>

namespace shimledger::desk {

namespace {

using inventory::JobStatus;

QString words(const char* text) {
    return QCoreApplication::translate("JobView", text);
}

/// An open job is judged by what its target needs; the others by where they are.
JobLine lineOf(inventory::ShopFile& shop, const inventory::Job& job, QStringList* sentences) {
    switch (job.status) {
    case JobStatus::reserved:
        return {job, StateMark::held, words("reserved")};
    case JobStatus::pulled:
        return {job, StateMark::done, words("pulled")};
    case JobStatus::closed:
        return {job, StateMark::done, words("closed")};
    case JobStatus::cancelled:
        return {job, StateMark::done, words("cancelled")};
    case JobStatus::open:
        break;
    }
    try {
        const services::JobShortages check = services::jobShortages(shop, job.code);
        const auto discs = static_cast<int>(check.shortages.size());
        const auto others = static_cast<int>(check.consumables_short.size());
        if (sentences != nullptr) {
            for (const planner::Shortage& shortage : check.shortages) {
                *sentences << textOf(shortage.sentence);
            }
            for (const auto& shortage : check.consumables_short) {
                *sentences << textOf(shortage.sentence);
            }
        }
        if (discs == 0 && others == 0) {
            return {job, StateMark::good, words("can be built")};
        }
        QStringList parts;
        if (discs > 0) {
            parts << counted(discs, words("1 shim size short"), words("%1 shim sizes short"));
        }
        if (others > 0) {
            parts << counted(others, words("1 consumable short"), words("%1 consumables short"));
        }
        return {job, StateMark::missing, parts.join(QStringLiteral(", "))};
    } catch (const InputError& problem) {
        if (sentences != nullptr) {
            *sentences << QString::fromUtf8(problem.what());
        }
        return {job, StateMark::unknown, words("no target to check")};
    }
}

/// A job that a count has left short is marked so, whatever else is to be said of it.
JobLine withShortMark(JobLine line, const std::map<std::string, std::string>& left_short,
                      QStringList* sentences) {
    const auto found = left_short.find(line.job.code);
    if (found == left_short.end()) return line;
    line.mark = StateMark::missing;
    line.situation_text = words("%1, short since a count").arg(line.situation_text);
    if (sentences != nullptr) *sentences << words("It is %1.").arg(textOf(found->second));
    return line;
}

/// What was built, in sentences; the heights are of one leg.
QStringList builtSentences(const services::BuiltJob& built) {
    if (!built.built) {
        return {words("Nothing went into it.")};
    }
    QString height = words("Built on %1: %2; height %3 mm")
                         .arg(textOf(built.built->date().text()),
                              counted(static_cast<int>(built.discs()), words("1 disc"), words("%1 discs")),
                              textOf(built.height.text(2)));
    if (built.measured_height) {
        height += words(" (%1 as measured)").arg(textOf(built.measured_height->text(3)));
    }
    QStringList sentences{height + words(", target %1 mm.").arg(textOf(built.target_height.text(2)))};
    QString curves = textOf(built.curve_sentence);
    if (!curves.isEmpty()) {
        curves[0] = curves[0].toUpper();
        sentences << curves + QLatin1Char('.');
    }
    for (const std::string& note : built.notes) sentences << words("Note: %1.").arg(textOf(note));
    return sentences;
}

/// The figures of the day, and what stood in for what; the drawers of today are left out.
void showBuilt(JobView& view, const services::BuiltJob& built) {
    view.built = builtSentences(built);
    view.reserved_pulls = pullLines(services::builtPulls(built));
    for (const services::BuiltLot& lot : built.lots) {
        if (lot.part.kind != inventory::PartKind::shim)
            view.reserved_pulls << words("%1: %2 of %3")
                                       .arg(textOf(lot.bin))
                                       .arg(lot.quantity)
                                       .arg(textOf(inventory::partText(lot.part)));
    }
}

JobLine unchecked(const inventory::Job& job) {
    return {job, StateMark::unknown, words("being checked")};
}

ValveInput valveInput(inventory::ShopFile& shop, const inventory::Job& job,
                      const planner::StackSpec& target) {
    services::KnownFlow known = services::knownFlow(shop, job, target);
    return {std::move(known.flow), known.stroke == inventory::Stroke::rebound,
            textOf(services::assumedSentence(known.assumed)), textOf(known.fitted_to)};
}

std::vector<StackLine> stackLines(const std::vector<services::StackRowView>& views,
                                  const planner::StackSpec* stack) {
    std::vector<StackLine> lines;
    for (std::size_t i = 0; i < views.size(); ++i) {
        const services::StackRowView& view = views[i];
        planner::DiscRow row{static_cast<int>(view.row.count), view.row.od, view.row.thickness, {}, {}};
        if (stack != nullptr) {
            row = stack->rows()[i];
        }
        lines.push_back({row, view.needed, textOf(view.binText()), view.on_hand, view.reserved,
                         view.available(), view.missing, view.reserved_here});
    }
    return lines;
}

QStringList rowNotes(const std::vector<StackLine>& lines) {
    QStringList notes;
    for (const StackLine& line : lines) {
        if (line.ended) { // what lies there today is beside the point
            notes << (line.substituted ? words("substituted") : QString());
            continue;
        }
        const QString where = line.bins.isEmpty() ? words("in no bin") : line.bins;
        if (line.substituted) {
            notes << words("%1: substituted").arg(where);
            continue;
        }
        if (line.reserved_here > 0) {
            notes << words("%1: %2 reserved").arg(where).arg(line.reserved_here);
            continue;
        }
        notes << (line.missing > 0 ? words("%1: short of %2").arg(where).arg(line.missing)
                                   : words("%1: %2 available").arg(where).arg(line.available));
    }
    return notes;
}

void markSubstituted(std::vector<StackLine>& lines, const inventory::JobStack& build) {
    for (const inventory::StackRow& row : build.rows) {
        if (row.replaces) {
            lines.at(static_cast<std::size_t>(*row.replaces - 1)).substituted = true;
        }
    }
}

/// The target row that a row of the build stack stands for.
int targetRowOf(const inventory::StackRow& row, const std::vector<planner::DiscRow>& target) {
    if (row.replaces) {
        return *row.replaces - 1;
    }
    const auto same = std::ranges::find_if(target, [&row](const planner::DiscRow& wanted) {
        return wanted.od == row.od && wanted.thickness == row.thickness;
    });
    return same == target.end() ? -1 : static_cast<int>(same - target.begin());
}

QString pullNote(const planner::DiscRow& row, const std::vector<planner::Pull>& pulls) {
    QStringList parts;
    for (const planner::Pull& pull : pulls) {
        if (pull.od == row.od && pull.thickness == row.thickness) {
            parts << words("%1: %2").arg(textOf(pull.bin)).arg(pull.quantity);
        }
    }
    return words("pull %1").arg(parts.join(QStringLiteral(", ")));
}

/// What is reserved for the job, as pulls: the shims of it.
std::vector<planner::Pull> reservedPulls(const inventory::ShopFile& shop,
                                         const std::vector<inventory::Reservation>& reservations) {
    std::vector<planner::Pull> pulls;
    std::set<std::string> parts;
    for (const inventory::Reservation& reservation : reservations) {
        parts.insert(reservation.part);
    }
    const auto snapshot = inventory::stockSnapshotOf(shop, {parts.begin(), parts.end()});
    for (const inventory::Reservation& reservation : reservations) {
        const auto lot = std::ranges::find_if(snapshot.lots, [&](const inventory::StockLot& candidate) {
            return candidate.kind == inventory::PartKind::shim && candidate.part == reservation.part &&
                   candidate.bin == reservation.bin && candidate.condition == reservation.condition;
        });
        if (lot == snapshot.lots.end() || !lot->od || !lot->thickness) {
            continue;
        }
        planner::Pull pull;
        pull.bin = lot->bin;
        pull.od = *lot->od;
        pull.thickness = *lot->thickness;
        pull.quantity = reservation.quantity;
        pull.used = reservation.condition == inventory::Condition::used;
        if (lot->measured) {
            pull.measured = lot->measured->mean;
        }
        pulls.push_back(pull);
    }
    return pulls;
}

/// The accepted stack as it will be pulled, so that its curve is the one that was accepted.
BenchInput buildInput(const inventory::Job& job, const inventory::JobStack& stack,
                      const planner::StackSpec& target, const std::vector<planner::Pull>& pulls,
                      const QString& title) {
    const planner::StackSpec nominal = services::plannerStack(job, stack);
    planner::SubstituteProposal accepted;
    accepted.clamp_od = stack.clamp_od;
    accepted.pulls = pulls;
    for (std::size_t i = 0; i < stack.rows.size(); ++i) {
        const inventory::StackRow& row = stack.rows[i];
        accepted.rows.push_back(
            {nominal.rows()[i], targetRowOf(row, target.rows()), row.replaces.has_value()});
    }
    BenchInput input = benchInputOf(accepted, target, title);
    if (pulls.empty()) { // pulled already: where from is history
        input.side.row_notes.clear();
    }
    return input;
}

} // namespace

std::vector<JobLine> readJobLines(inventory::ShopFile& shop, const std::stop_token& stop) {
    std::vector<JobLine> lines;
    const auto left_short = services::shortJobs(shop);
    const auto today = shop.now().date();
    for (const inventory::Job& job : inventory::JobBook(shop).list()) {
        lines.push_back(stop.stop_requested()
                            ? unchecked(job)
                            : withShortMark(lineOf(shop, job, nullptr), left_short, nullptr));
        lines.back().days_late = services::daysLate(job, today);
    }
    return lines;
}

std::vector<JobLine> quickJobLines(inventory::ShopFile& shop, const std::vector<JobLine>& before) {
    std::vector<JobLine> lines;
    const auto left_short = services::shortJobs(shop);
    const auto today = shop.now().date();
    for (const inventory::Job& job : inventory::JobBook(shop).list()) {
        const auto known =
            std::ranges::find_if(before, [&job](const JobLine& line) { return line.job.code == job.code; });
        if (job.status != JobStatus::open) {
            lines.push_back(withShortMark(lineOf(shop, job, nullptr), left_short, nullptr));
        } else if (known != before.end() && known->job.status == JobStatus::open) {
            lines.push_back({job, known->mark, known->situation_text});
        } else {
            lines.push_back(unchecked(job));
        }
        lines.back().days_late = services::daysLate(job, today);
    }
    return lines;
}

JobView readJobView(inventory::ShopFile& shop, const std::string& code) {
    JobView view;
    shop.consistently([&] {
        const inventory::JobBook book(shop);
        const inventory::Job job = book.get(code);
        view.line = withShortMark(lineOf(shop, job, &view.shortages), services::shortJobs(shop, code),
                                  &view.shortages);
        view.line.days_late = services::daysLate(job, shop.now().date());
        view.component_legs = inventory::componentLegs(inventory::componentValves(shop, code));
        for (const std::string& other : services::otherValves(shop, code)) view.other_valves << textOf(other);
        const auto reservations = inventory::StockLedger(shop).reservationsOf(code);
        view.reservations = static_cast<std::int64_t>(reservations.size());
        for (const std::string& wish : services::jobWishes(shop, code)) view.wishes << textOf(wish);
        view.working_lift_mm = services::workingLift(shop, job);
        const auto views = services::stackView(shop, code);
        // A plan that was released again stays in the book, but it is no longer what will be built.
        const bool planned = job.status != JobStatus::open;
        auto build = planned ? book.stack(code, inventory::StackRole::build) : std::nullopt;
        std::vector<planner::Pull> pulls = reservedPulls(shop, reservations);
        view.reserved_pulls = build ? pullLines(pulls) : QStringList();
        if (view.ended()) {
            const services::BuiltJob built = services::builtJob(shop, code);
            showBuilt(view, built);
            if (job.ended)
                view.built.prepend(
                    (job.status == JobStatus::closed ? words("Closed on %1.") : words("Given up on %1."))
                        .arg(textOf(job.ended->date().text())));
            pulls = services::builtPulls(built);
            build.reset();
            if (built.built) build = services::builtStack(built);
        }
        if (const auto target = book.stack(code, inventory::StackRole::target)) {
            try {
                const planner::StackSpec stack = services::plannerStack(job, target->rows);
                view.rows = stackLines(views, &stack);
                for (StackLine& line : view.rows) line.ended = view.ended();
                if (build) {
                    view.build = buildInput(job, *build, stack, pulls,
                                            view.ended() ? words("Built") : words("Build stack, accepted"));
                    markSubstituted(view.rows, *build);
                }
                view.valve = valveInput(shop, job, stack);
                view.target = {{words("Target, %1").arg(textOf(code)), stack, rowNotes(view.rows), {}, {}},
                               {}};
            } catch (const InputError& problem) {
                view.problem = QString::fromUtf8(problem.what());
                view.rows = stackLines(views, nullptr);
                for (StackLine& line : view.rows) line.ended = view.ended();
            }
        }
    });
    for (const std::string& caution : services::workCautions()) {
        view.cautions << textOf(caution);
    }
    return view;
}

std::vector<StackLine> readDraftLines(inventory::ShopFile& shop, const inventory::Job& job,
                                      const std::vector<planner::DiscRow>& rows) {
    return stackLines(services::rowsAgainstStock(shop, job.code, services::bookRows(rows), job.legs),
                      nullptr);
}

BenchInput benchInputOf(const planner::SubstituteProposal& proposal, const planner::StackSpec& target,
                        const QString& title) {
    std::vector<planner::DiscRow> rows;
    BenchSide side{title, target, {}, {}, {}};
    for (const planner::ProposalRow& row : proposal.rows) {
        rows.push_back(row.row);
        side.replaced.push_back(row.replaces);
        side.target_rows.push_back(row.target_row);
        side.row_notes << pullNote(row.row, proposal.pulls);
    }
    side.stack = planner::StackSpec(planner::valveOf(target, proposal), rows);
    return {side, planner::rowThicknesses(proposal), services::pulledStack(target, proposal),
            planner::pulledSums(side.stack, proposal.pulls)};
}

} // namespace shimledger::desk
