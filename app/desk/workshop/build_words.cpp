// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/build_words.h"

#include "app/desk/counted.h"
#include "app/desk/path_text.h"
#include "inventory/part_kinds.h"

#include <QCoreApplication>
#include <QStringList>

#include <algorithm>

namespace shimledger::desk {

namespace {

constexpr qsizetype most_bins = 4; ///< named in a sentence

QString words(const char* text) {
    return QCoreApplication::translate("BuildWords", text);
}

Length heightOf(const std::vector<inventory::StackRow>& rows) {
    Length height;
    for (const inventory::StackRow& row : rows) height += row.count * row.thickness;
    return height;
}

/// Several lines lie in one drawer; many drawers are not named one by one.
QString binsText(const std::vector<services::PullLine>& lines) {
    QStringList bins;
    for (const services::PullLine& line : lines) bins << textOf(line.reservation.bin);
    bins.removeDuplicates();
    if (bins.size() <= most_bins) return bins.join(QStringLiteral(", "));
    return words("%1 and %2 more")
        .arg(bins.first(most_bins).join(QStringLiteral(", ")))
        .arg(bins.size() - most_bins);
}

} // namespace

QString discsText(const inventory::StackRow& row) {
    return QStringLiteral("%1 x %2 x %3")
        .arg(row.count)
        .arg(textOf(row.od.text(1)), textOf(row.thickness.text(2)));
}

QList<StackChecklist::Row> checklistRows(const services::BuildState& state) {
    QList<StackChecklist::Row> rows;
    for (const services::BuildRowState& of_row : state.rows) {
        StackChecklist::Row row{discsText(of_row.row), {}};
        QStringList remarks;
        if (state.accepted && of_row.missing() > 0) {
            remarks << words("%1 missing").arg(of_row.missing());
            row.mark = StateMark::missing;
        }
        if (state.accepted && of_row.reserved > 0) {
            QStringList bins;
            for (const std::string& bin : of_row.bins) bins << textOf(bin);
            remarks << words("still in %1").arg(bins.join(QStringLiteral(", ")));
            if (row.mark == StateMark::none) row.mark = StateMark::unknown;
        }
        if (state.accepted && of_row.row.replaces) {
            remarks << words("for target row %1").arg(*of_row.row.replaces);
        }
        row.remark = remarks.join(QStringLiteral("; "));
        rows << row;
    }
    return rows;
}

QString heightsText(const services::BuildState& state) {
    const Length target = heightOf(state.target);
    std::vector<inventory::StackRow> rows;
    for (const services::BuildRowState& row : state.rows) rows.push_back(row.row);
    const Length build = heightOf(rows);
    if (!state.accepted) return words("Height: target %1 mm.").arg(textOf(target.text(2)));
    const QString both =
        words("Height: build %1 mm, target %2 mm").arg(textOf(build.text(2)), textOf(target.text(2)));
    if (build == target) return words("%1.").arg(both);
    return build > target ? words("%1: %2 mm more.").arg(both, textOf((build - target).text(2)))
                          : words("%1: %2 mm less.").arg(both, textOf((target - build).text(2)));
}

QString openText(const services::BuildState& state) {
    QStringList sentences;
    QStringList missing;
    for (const services::BuildRowState& row : state.rows) {
        const QString size =
            QStringLiteral("%1 x %2").arg(textOf(row.row.od.text(1)), textOf(row.row.thickness.text(2)));
        if (state.accepted && row.missing() > 0) missing << words("%1 of %2").arg(row.missing()).arg(size);
    }
    missing.removeDuplicates(); // rows of one size say the same
    if (!missing.isEmpty()) {
        sentences << words("Given up or never there: %1.").arg(missing.join(QStringLiteral(", ")));
    }
    if (!state.to_pull.empty()) {
        sentences << counted(static_cast<qint64>(state.to_pull.size()), words("1 line is not pulled yet"),
                             words("%1 lines are not pulled yet")) +
                         words(" (%1).").arg(binsText(state.to_pull));
    }
    return sentences.join(QLatin1Char(' '));
}

QString consumablesText(const services::BuildState& state) {
    QStringList lines;
    for (const services::ConsumableNeed& need : state.consumables) {
        const bool pieces = need.part.unit == inventory::QuantityUnit::piece;
        QString line = pieces ? words("%1 x %2").arg(need.wanted).arg(textOf(inventory::partText(need.part)))
                              : words("%1 %2 of %3")
                                    .arg(need.wanted)
                                    .arg(textOf(inventory::quantityUnitName(need.part.unit)),
                                         textOf(inventory::partText(need.part)));
        // As long as nothing is accepted nothing is to be there.
        const bool missing = state.accepted && need.open() > 0;
        if (missing) line += words(": %1 missing").arg(need.open());
        // As the marks of the rows: missing, still in a drawer, pulled.
        const QChar mark(missing ? 0x25B2 : need.reserved > 0 || !state.accepted ? 0x25CB : 0x2713);
        line.prepend(mark + QStringLiteral(" "));
        lines << line;
    }
    return lines.isEmpty() ? words("No consumables.") : lines.join(QLatin1Char('\n'));
}

QString rowsText(const QList<int>& rows) {
    QStringList runs;
    for (qsizetype i = 0; i < rows.size(); ++i) {
        const qsizetype first = i;
        while (i + 1 < rows.size() && rows[i + 1] == rows[i] + 1) ++i;
        runs << (i == first ? QString::number(rows[i] + 1)
                            : words("%1 to %2").arg(rows[first] + 1).arg(rows[i] + 1));
    }
    return (rows.size() == 1 ? words("row %1") : words("rows %1")).arg(runs.join(QStringLiteral(", ")));
}

} // namespace shimledger::desk
