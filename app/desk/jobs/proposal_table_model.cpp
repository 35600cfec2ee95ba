#include "app/desk/jobs/proposal_table_model.h"

#include "app/desk/path_text.h"
#include "app/services/proposal_text.h"

#include <QLocale>

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

QStringList pullLines(const planner::SubstituteProposal& proposal) {
    QStringList lines;
    for (const planner::Pull& pull : proposal.pulls) {
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

void ProposalTableModel::setProposals(std::vector<planner::SubstituteProposal> proposals) {
    beginResetModel();
    m_proposals = std::move(proposals);
    endResetModel();
}

int ProposalTableModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_proposals.size());
}

int ProposalTableModel::columnCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : column_count;
}

QString ProposalTableModel::text(const planner::SubstituteProposal& proposal, int column) {
    switch (column) {
    case deviation:
        return signedPerCentText(proposal.deviation.signed_deviation);
    case at_lift:
        return number(proposal.deviation.at_lift_mm, 2);
    case small_lift:
        return number(proposal.deviation.small_lift_ratio, 3);
    case changed:
        return QString::number(proposal.discs_changed);
    case height:
        return signedText(proposal.height_change.millimetres(), 2);
    case scatter:
        return proposal.within_scatter ? tr("within") : tr("outside");
    case merits:
        return textOf(services::meritsText(proposal.merits));
    default:
        return {};
    }
}

QVariant ProposalTableModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) {
        return {};
    }
    const auto& proposal = m_proposals[static_cast<std::size_t>(index.row())];
    const bool numeric = index.column() <= height;
    switch (role) {
    case Qt::DisplayRole:
        return text(proposal, index.column());
    case Qt::TextAlignmentRole:
        return QVariant::fromValue(
            Qt::Alignment(Qt::AlignVCenter | (numeric ? Qt::AlignRight : Qt::AlignLeft)));
    case Qt::ToolTipRole:
        return pullLines(proposal).join(QLatin1Char('\n'));
    case Qt::AccessibleTextRole:
        return QStringLiteral("%1: %2").arg(
            headerData(index.column(), Qt::Horizontal, Qt::DisplayRole).toString(),
            text(proposal, index.column()));
    default:
        return {};
    }
}

QVariant ProposalTableModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation == Qt::Vertical) {
        return role == Qt::DisplayRole ? QVariant(section + 1) : QVariant();
    }
    if (role == Qt::TextAlignmentRole && section <= height) {
        return QVariant::fromValue(Qt::Alignment(Qt::AlignRight | Qt::AlignVCenter));
    }
    if (role == Qt::DisplayRole) {
        switch (section) {
        case deviation:
            return tr("Deviation");
        case at_lift:
            return tr("at lift");
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
            return tr("Largest difference of pressure from the target over the working lift; + is stiffer");
        case at_lift:
            return tr("Lift in mm at which the difference is largest");
        case small_lift:
            return tr("Pressure ratio as lift goes to zero: what the cube sums of the discs speak of");
        case changed:
            return tr("Discs of the target, per leg, that are not in this stack");
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
