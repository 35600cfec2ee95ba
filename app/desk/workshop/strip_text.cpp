// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/strip_text.h"

#include "app/desk/path_text.h"
#include "app/services/strip_sheet.h"
#include "planner/units/input_error.h"

#include <QCoreApplication>
#include <QRegularExpression>
#include <QStringList>

namespace shimledger::desk {

namespace {

QString words(const char* text) {
    return QCoreApplication::translate("StripText", text);
}

} // namespace

QString stripInMillimetres(const QString& typed, SizeUnit bare) {
    const inventory::StripRow row = services::parseStripRow(typed.toStdString(), bare);
    static const QRegularExpression comma(QStringLiteral("(?<=\\d),(?=\\d)"));
    static const QRegularExpression no_sizes(QStringLiteral("[>!]")); // a drawer, a reason
    const qsizetype mark = typed.indexOf(no_sizes);
    const QString sizes = mark < 0 ? typed : typed.left(mark);
    static const QRegularExpression unit(
        QStringLiteral("\\d\\s*(mm|cm|um|in|inch|inches|\"|'')(?![A-Za-z0-9])"),
        QRegularExpression::CaseInsensitiveOption);
    if (bare != SizeUnit::millimetres || unit.match(sizes).hasMatch()) return stripRowText(row);
    return QString(sizes).replace(comma, QStringLiteral(".")) + (mark < 0 ? QString() : typed.mid(mark));
}

QString stripAsTyped(const QString& kept, SizeUnit bare) {
    if (bare == SizeUnit::millimetres) return kept;
    try {
        return textOf(services::stripRowText(readStripRow(kept), bare));
    } catch (const InputError&) {
        return kept;
    }
}

inventory::StripRow readStripRow(const QString& kept) {
    return services::parseStripRow(kept.toStdString());
}

QString stripRowText(const inventory::StripRow& row) {
    return textOf(services::stripRowText(row, SizeUnit::millimetres));
}

QString stripSides(inventory::ShopFile& shop, const std::string& job, double working_lift_mm) {
    QStringList lines;
    const auto heading = [&lines](const QString& words_of_it) {
        lines << QStringLiteral("<b>%1</b>").arg(words_of_it.toHtmlEscaped());
    };
    const auto add = [&lines](const QString& line) { lines << line.toHtmlEscaped(); };
    const auto sheets = services::stripSheets(shop, job);
    if (sheets.empty()) {
        return words("Nothing is written down for this job yet.").toHtmlEscaped();
    }
    if (sheets.size() > 1) {
        heading(words("How the legs differ"));
        try {
            const auto legs = services::compareLegs(shop, job, sheets[0].leg, sheets[1].leg, working_lift_mm);
            for (const services::LegDifference& difference : legs.rows) add(textOf(difference.sentence));
            if (legs.rows.empty()) add(words("Row by row they are equal."));
            add(textOf(legs.curve_sentence));
        } catch (const InputError& problem) {
            add(QString::fromUtf8(problem.what()));
        }
        lines << QString();
    }
    const services::PutAway away = services::putAwayList(shop, job);
    if (away.lines.empty()) {
        add(words("Nothing is to go back to the drawers."));
    } else {
        heading(words("To go back to the drawers"));
    }
    std::int64_t discs = 0;
    for (const services::PutAwayLine& line : away.lines) {
        const QString bin = line.bin.empty() ? words("no drawer yet") : textOf(line.bin);
        const QString text = words("%1: %2 x %3").arg(bin).arg(line.quantity).arg(textOf(line.what));
        add(line.among_new ? words("%1 (only new ones lie there)").arg(text) : text);
        discs += line.quantity;
    }
    for (const std::string& sentence : away.left_out) add(textOf(sentence));
    if (away.lines.size() > 1) add(words("%1 discs in all go back.").arg(discs));
    return lines.join(QStringLiteral("<br>"));
}

} // namespace shimledger::desk
