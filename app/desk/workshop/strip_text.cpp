// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/workshop/strip_text.h"

#include "app/desk/length_text.h"
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

QString stripInMillimetres(const QString& typed) {
    static const QRegularExpression comma(QStringLiteral("(?<=\\d),(?=\\d)"));
    static const QRegularExpression inch(QStringLiteral("^(\\d*\\.?\\d+)(in|inch|\"|'')$"));
    QStringList parts =
        QString(typed).replace(comma, QStringLiteral(".")).split(QLatin1Char(' '), Qt::SkipEmptyParts);
    for (QString& part : parts) {
        if (part.startsWith(QLatin1Char('!'))) {
            break; // a reason is no size
        }
        if (inch.match(part).hasMatch()) {
            part = textOf(readLength(part).text(3));
        }
    }
    return parts.join(QLatin1Char(' '));
}

inventory::StripRow readStripRow(const QString& typed) {
    return services::parseStripRow(stripInMillimetres(typed).toStdString());
}

QString stripRowText(const inventory::StripRow& row) {
    QString text = QStringLiteral("%1 x %2 x").arg(row.count).arg(textOf(row.od.text(1)));
    for (const Length& reading : row.readings) {
        text += QLatin1Char(' ') + textOf(reading.text(3));
    }
    if (!row.part.empty()) {
        text += QLatin1Char(' ') + textOf(row.part);
    }
    if (row.scrap > 0) {
        text += QStringLiteral(" !%1 %2").arg(row.scrap).arg(textOf(row.scrap_reason));
    }
    return text;
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
