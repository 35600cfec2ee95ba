// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/proposal_text.h"

#include "planner/stack/stack_text.h"

#include <fmt/format.h>

namespace shimledger::services {

std::string percentText(double fraction) {
    const double percent = fraction * 100.0;
    if (percent > -0.05 && percent < 0.05) return "0.0 %"; // no sign on what rounds to nothing
    return fmt::format("{:+.1f} %", percent);
}

std::string meritsText(const planner::ProposalMerits& merits) {
    std::string text;
    const auto add = [&](bool is_best, const char* words) {
        if (is_best) text += (text.empty() ? "" : ", ") + std::string(words);
    };
    add(merits.closest, "closest");
    add(merits.fewest_changes, "fewest discs changed");
    add(merits.smallest_height_change, "smallest height change");
    add(merits.spares_scarce, "cheapest to replace");
    add(merits.rubs_least_differently, "rubs least differently");
    return text;
}

std::string proposalRowText(const planner::ProposalRow& row, const planner::StackSpec& target) {
    std::string text = planner::rowText(row.row);
    if (row.replaces) {
        const auto& wanted = target.rows().at(static_cast<std::size_t>(row.target_row));
        text = fmt::format("{:<20}in place of {}", text, planner::rowText(wanted));
    }
    return text;
}

std::vector<std::string> proposalLines(const planner::SubstituteProposal& proposal,
                                       const planner::StackSpec& target, std::size_t number) {
    std::vector<std::string> lines;
    const std::string merits = meritsText(proposal.merits);
    lines.push_back(fmt::format("Proposal {}{}", number, merits.empty() ? "" : ": " + merits));
    lines.push_back(fmt::format(
        "  pressure differs by at most {} (at {:.2f} mm of lift); at small lift {}, at full lift {}",
        percentText(proposal.deviation.signed_deviation), proposal.deviation.at_lift_mm,
        percentText(proposal.deviation.small_lift_ratio - 1),
        percentText(proposal.deviation.full_lift_ratio - 1)));
    const bool taller = proposal.height_change.micrometres() > 0;
    lines.push_back(
        fmt::format("  height {}{} mm; {} changed in each leg; {} the target's own scatter",
                    taller ? "+" : "", proposal.height_change.text(2),
                    proposal.discs_changed == 1 ? "1 disc" : fmt::format("{} discs", proposal.discs_changed),
                    proposal.within_scatter ? "within" : "outside"));
    if (proposal.own_scatter > 0) {
        lines.push_back(
            fmt::format("  built from these lots it scatters by +-{:.1f} %", proposal.own_scatter * 100));
    }
    if (proposal.leg_difference > 0) {
        lines.push_back(fmt::format("  the legs differ by {:.1f} % from each other, by their measured discs",
                                    proposal.leg_difference * 100));
    }
    for (const auto& row : proposal.rows) lines.push_back("    " + proposalRowText(row, target));
    std::string pulls;
    for (const auto& pull : proposal.pulls) {
        pulls += fmt::format("{}{}: {} of {} x {}{}", pulls.empty() ? "" : "; ", pull.bin, pull.quantity,
                             pull.od.text(1), pull.thickness.text(2), pull.used ? " (used)" : "");
    }
    lines.push_back("  pull " + pulls);
    return lines;
}

} // namespace shimledger::services
