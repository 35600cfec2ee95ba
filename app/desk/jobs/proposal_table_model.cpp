// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/jobs/proposal_table_model.h"

#include "app/desk/guard.h"
#include "app/desk/path_text.h"
#include "app/services/proposal_text.h"

#include <QLocale>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>

namespace shimledger::desk {

namespace {

QString number(double value, int decimals) {
    return QLocale::c().toString(value, 'f', decimals);
}

QString signedText(double value, int decimals) {
    return (value > 0 ? QStringLiteral("+") : QString()) + number(value, decimals);
}

} // namespace

QString perCentText(double fraction) {
    return number(100 * fraction, 1) + QStringLiteral(" %");
}

QString signedPerCentText(double fraction) {
    return signedText(100 * fraction, 1) + QStringLiteral(" %");
}

QStringList pullLines(const std::vector<planner::Pull>& pulls) {
    QStringList lines;
    for (const planner::Pull& pull : pulls) {
        QString line = ProposalTableModel::tr("%1: %2 of %3 x %4")
                           .arg(textOf(pull.bin))
                           .arg(pull.quantity)
                           .arg(textOf(pull.od.text(1)), textOf(pull.thickness.text(2)));
        if (pull.measured) {
            line += ProposalTableModel::tr(" (measured %1)").arg(textOf(pull.measured->text(3)));
        }
        if (pull.used) {
            line += ProposalTableModel::tr(", used");
        }
        lines << line;
    }
    return lines;
}

void ProposalTableModel::setProposals(std::vector<planner::SubstituteProposal> proposals,
                                      std::vector<services::WarpComparison> comparisons,
                                      std::vector<services::ClickAdvice> clicks) {
    beginResetModel();
    m_proposals = std::move(proposals);
    m_comparisons = std::move(comparisons);
    m_clicks = std::move(clicks);
    putInOrder();
    endResetModel();
}

int ProposalTableModel::rowOf(std::size_t place) const {
    return static_cast<int>(std::find(m_order.begin(), m_order.end(), place) - m_order.begin());
}

void ProposalTableModel::sort(int column, Qt::SortOrder order) {
    m_sorted_by = column;
    m_sort_order = order;
    emit layoutAboutToBeChanged({}, QAbstractItemModel::VerticalSortHint);
    const QModelIndexList before = persistentIndexList();
    std::vector<std::size_t> places;
    for (const QModelIndex& index : before) places.push_back(placeOf(index.row()));
    putInOrder();
    QModelIndexList after;
    for (qsizetype i = 0; i < before.size(); ++i)
        after << index(rowOf(places[static_cast<std::size_t>(i)]), before[i].column());
    changePersistentIndexList(before, after);
    emit layoutChanged({}, QAbstractItemModel::VerticalSortHint);
}

void ProposalTableModel::putInOrder() {
    m_order.resize(m_proposals.size());
    std::iota(m_order.begin(), m_order.end(), std::size_t{0});
    if (m_sorted_by < 0) return;
    std::stable_sort(m_order.begin(), m_order.end(), [this](std::size_t a, std::size_t b) {
        if (m_sort_order == Qt::DescendingOrder) std::swap(a, b);
        if (m_sorted_by == merits) return meritsText(a) < meritsText(b);
        return sortKey(a, m_sorted_by) < sortKey(b, m_sorted_by);
    });
}

double ProposalTableModel::sortKey(std::size_t row, int column) const {
    const planner::SubstituteProposal& proposal = m_proposals[row];
    switch (column) {
    case deviation:
        return proposal.deviation.max_deviation;
    case from_target:
        return proposal.against_base.max_deviation;
    case warped:
        return row < m_comparisons.size() && m_comparisons[row].reached_mm > 0
                   ? m_comparisons[row].warped.max_deviation
                   : std::numeric_limits<double>::infinity();
    case small_lift:
        return std::abs(proposal.deviation.small_lift_ratio - 1);
    case changed:
        return proposal.discs_changed;
    case height:
        return std::abs(proposal.height_change.millimetres());
    case scatter:
        return proposal.within_scatter ? 0 : 1;
    default:
        return 0;
    }
}

int ProposalTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_proposals.size());
}

int ProposalTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : column_count;
}

QString ProposalTableModel::text(std::size_t row, int column) const {
    const planner::SubstituteProposal& proposal = m_proposals[row];
    switch (column) {
    case deviation:
        return signedPerCentText(proposal.deviation.signed_deviation);
    case from_target:
        return signedPerCentText(proposal.against_base.signed_deviation);
    case warped:
        return warpedText(row);
    case small_lift:
        return signedPerCentText(proposal.deviation.small_lift_ratio - 1);
    case changed:
        return QString::number(proposal.discs_changed);
    case height:
        return tr("%1 mm").arg(signedText(proposal.height_change.millimetres(), 2));
    case scatter:
        return proposal.within_scatter ? tr("within") : tr("outside");
    case merits:
        return meritsText(row);
    default:
        return {};
    }
}

QString ProposalTableModel::meritsText(std::size_t row) const {
    QStringList best_in{textOf(services::meritsText(m_proposals[row].merits))};
    if (row < m_clicks.size() && m_clicks[row].one_click_equals) best_in << tr("equal by one click");
    if (m_proposals[row].clamp_od) best_in << tr("clamp %1").arg(textOf(m_proposals[row].clamp_od->text()));
    best_in.removeAll(QString());
    return best_in.join(QStringLiteral(", "));
}

QString ProposalTableModel::warpedText(std::size_t row) const {
    if (row >= m_comparisons.size() || m_comparisons[row].reached_mm <= 0) {
        return tr("not known");
    }
    const services::WarpComparison& comparison = m_comparisons[row];
    const QString percent = signedPerCentText(comparison.warped.signed_deviation);
    return comparison.whole ? percent : tr("%1 to %2 mm").arg(percent, number(comparison.reached_mm, 2));
}

/// What the columns have no room for.
QStringList ProposalTableModel::details(std::size_t row) const {
    const planner::SubstituteProposal& proposal = m_proposals[row];
    QStringList lines{tr("Furthest off at %1 mm; at the end of the range %2.")
                          .arg(number(proposal.deviation.at_lift_mm, 2),
                               signedPerCentText(proposal.deviation.full_lift_ratio - 1))};
    if (row < m_comparisons.size()) {
        lines << QString::fromStdString(m_comparisons[row].sentence);
    }
    if (row < m_clicks.size() && !m_clicks[row].sentence.empty())
        lines << QString::fromStdString(m_clicks[row].sentence);
    if (proposal.clamp_od) {
        lines << tr("On a clamp of %1 mm, other than the target's.").arg(textOf(proposal.clamp_od->text()));
    }
    if (proposal.own_scatter > 0) {
        lines << tr("Built from these lots it scatters by plus or minus %1.")
                     .arg(perCentText(proposal.own_scatter));
    }
    if (proposal.leg_difference > 0) {
        lines << tr("The legs differ by %1, by their measured discs.")
                     .arg(perCentText(proposal.leg_difference));
    }
    return lines << pullLines(proposal.pulls);
}

QVariant ProposalTableModel::data(const QModelIndex& index, int role) const {
    return answered(this, QVariant(), [&] { return cell(index, role); });
}

QVariant ProposalTableModel::cell(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) {
        return {};
    }
    const std::size_t row = placeOf(index.row());
    const bool numeric = index.column() <= height;
    switch (role) {
    case Qt::DisplayRole:
        return text(row, index.column());
    case Qt::TextAlignmentRole:
        return QVariant::fromValue(
            Qt::Alignment(Qt::AlignVCenter | (numeric ? Qt::AlignRight : Qt::AlignLeft)));
    case Qt::ToolTipRole:
        return details(row).join(QLatin1Char('\n'));
    case Qt::AccessibleTextRole:
        return QStringLiteral("%1: %2").arg(
            headerData(index.column(), Qt::Horizontal, Qt::DisplayRole).toString(),
            text(row, index.column()));
    default:
        return {};
    }
}

QVariant ProposalTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation == Qt::Vertical) {
        const bool there = section >= 0 && section < rowCount();
        return role == Qt::DisplayRole && there ? QVariant::fromValue(placeOf(section) + 1) : QVariant();
    }
    if (role == Qt::TextAlignmentRole && section <= height) {
        return QVariant::fromValue(Qt::Alignment(Qt::AlignRight | Qt::AlignVCenter));
    }
    if (role == Qt::DisplayRole) {
        switch (section) {
        case deviation:
            return tr("Deviation");
        case from_target:
            return tr("From target");
        case warped:
            return tr("Warped");
        case small_lift:
            return tr("Small lift");
        case changed:
            return tr("Changed");
        case height:
            return tr("Height");
        case scatter:
            return tr("Scatter");
        case merits:
            return tr("Best in");
        default:
            return {};
        }
    }
    if (role == Qt::ToolTipRole) {
        switch (section) {
        case deviation:
            return tr(
                "Largest difference of pressure from the target, or from what is wanted of it, up to the "
                "working lift or to where the target's discs begin to warp; + is stiffer");
        case from_target:
            return tr("Where another curve is wanted: the largest difference from the target's own");
        case warped:
            return tr("The same over the whole working lift, with what warping does to both");
        case small_lift:
            return tr(
                "Difference of pressure as lift goes to zero: what the cube sums of the discs speak of");
        case changed:
            return tr("Discs in each leg that are other than in the target, or more than it has");
        case height:
            return tr("Change of the clamped height in mm");
        case scatter:
            return tr("Whether it is closer to the target than the target's own thickness scatter");
        case merits:
            return tr("In what way this proposal beats the others");
        default:
            return {};
        }
    }
    return {};
}

} // namespace shimledger::desk
