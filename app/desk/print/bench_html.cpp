// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/print/bench_html.h"

#include "app/desk/path_text.h"
#include "app/desk/print/html_parts.h"
#include "app/services/sheets/png_image.h"

#include <QByteArray>
#include <QCoreApplication>

#include <algorithm>

namespace shimledger::desk {

namespace {

constexpr int least_rows = 16; ///< of a leg, to be filled in
constexpr int labels_across = 3;
constexpr int rows_on_a4 = 9;
constexpr int rows_on_letter = 8;
constexpr int mark_pixels = 84; ///< at the 96 dots per inch of HTML: 22 mm

QString words(const char* text) {
    return QCoreApplication::translate("BenchHtml", text);
}

QString readingsText(const services::StripLine& line) {
    QStringList readings;
    for (const Length& reading : line.row.readings) {
        readings << textOf(reading.text(3));
    }
    return readings.join(QStringLiteral("  "));
}

QString legRows(const services::StripView& leg) {
    QString rows;
    const int written = static_cast<int>(leg.lines.size());
    for (int number = 1; number <= std::max(least_rows, written); ++number) {
        QStringList cells{QString::number(number)};
        if (number <= written) {
            const services::StripLine& line = leg.lines[static_cast<std::size_t>(number - 1)];
            const QString scrap =
                line.row.scrap > 0
                    ? QStringLiteral("%1 %2").arg(line.row.scrap).arg(htmlText(line.row.scrap_reason))
                    : QString();
            cells << QString::number(line.row.count) << textOf(line.row.od.text()) << readingsText(line)
                  << scrap << htmlText(line.what) << htmlText(line.row.bin);
        } else {
            cells << QStringLiteral("&nbsp;") << QString() << QString() << QString() << QString()
                  << QString();
        }
        rows += htmlRow(cells);
    }
    return rows;
}

QString foundText(const services::InspectionLine& line) {
    if (!line.finding) {
        return {};
    }
    QStringList parts;
    if (line.finding->worn_percent) {
        parts << words("%1 % worn").arg(*line.finding->worn_percent);
    }
    if (line.finding->state != inventory::WearState::notSaid) {
        parts << textOf(inventory::wearStateName(line.finding->state));
    }
    return parts.join(QStringLiteral(", "));
}

QString inspectionRows(const std::vector<services::InspectionLine>& lines) {
    QString rows;
    for (const services::InspectionLine& line : lines) {
        rows += htmlRow(
            {line.leg > 0 ? QString::number(line.leg) : QString(),
             htmlText(line.what.empty() ? line.place : line.what), QString::number(line.quantity),
             foundText(line),
             line.finding ? textOf(inventory::wearDecisionName(line.finding->decision)) : html_tick_box,
             line.finding ? htmlText(line.finding->reason) : QString(), htmlText(line.trend)});
    }
    return rows;
}

QString labelCell(const services::BinLabel& label) {
    const std::vector<unsigned char> png = services::markImage(label.mark);
    const QByteArray bytes(reinterpret_cast<const char*>(png.data()), static_cast<qsizetype>(png.size()));
    QStringList contents;
    constexpr std::size_t letters_a_line = 24, lines = 3;
    for (const std::string& what : services::contentsWithin(label, letters_a_line, lines)) {
        contents << htmlText(what);
    }
    return QStringLiteral("<td width='33%' valign='top'><table><tr>"
                          "<td><img src='data:image/png;base64,%1' width='%2' height='%2'></td>"
                          "<td valign='top'><span style='font-size:17pt'><b>%3</b></span><br>"
                          "<span style='font-size:9pt'>%4</span></td></tr></table></td>")
        .arg(QString::fromLatin1(bytes.toBase64()))
        .arg(mark_pixels)
        .arg(htmlText(label.bin), contents.join(QStringLiteral("<br>")));
}

} // namespace

QString stripFormHtml(const services::StripForm& form) {
    QString body;
    for (const services::StripForm::Stack& stack : form.stacks) {
        const services::StripView& leg = stack.found;
        const QString title =
            words("Strip %1, %2, leg %3").arg(htmlText(form.job), htmlText(stack.valve)).arg(leg.leg);
        body += body.isEmpty() ? QStringLiteral("<h1>%1</h1>").arg(title) : htmlHeadingOnNewPage(title);
        body +=
            words("<p>%1. From the piston face (1) to the clamp; OD by caliper, readings by micrometer, mm. "
                  "Equal discs that lie together share a row.</p>")
                .arg(htmlText(form.component));
        for (const std::string& caution : form.cautionsBeforeOpening())
            body += QStringLiteral("<p><b>%1</b></p>").arg(htmlText(caution));
        for (const std::string& wish : form.earlier_wishes)
            body += QStringLiteral("<p>%1</p>").arg(htmlText(wish));
        body += htmlGrid({words("No."), words("Count"), words("OD"), words("Readings"),
                          words("Scrap, and why"), words("Is"), words("Bin")},
                         legRows(leg));
    }
    const QString title = words("Inspection %1").arg(htmlText(form.job));
    body += htmlHeadingOnNewPage(title) + QStringLiteral("<p>%1.</p>").arg(htmlText(form.component));
    body += htmlGrid({words("Leg"), words("What"), words("Pieces"), words("Found"), words("Decision"),
                      words("Reason, note"), words("Before")},
                     inspectionRows(form.inspection));
    body += words("<h2>Mind</h2><ul>");
    for (const std::string& caution : form.cautions) {
        body += QStringLiteral("<li>%1</li>").arg(htmlText(caution));
    }
    return htmlPage(body + words("</ul><p>Made %1.</p>").arg(textOf(form.made.text())));
}

QString labelSheetHtml(const std::vector<services::BinLabel>& labels, services::PaperSize paper) {
    const std::size_t on_page = static_cast<std::size_t>(labels_across) *
                                (paper == services::PaperSize::a4 ? rows_on_a4 : rows_on_letter);
    QString body;
    for (std::size_t first = 0; first < labels.size(); first += on_page) {
        // A table a page, so that no page break goes through a label.
        body += QStringLiteral("<table width='100%' cellspacing='0' style='page-break-before:%1'>")
                    .arg(first == 0 ? QStringLiteral("auto") : QStringLiteral("always"));
        const std::size_t end = std::min(labels.size(), first + on_page);
        for (std::size_t i = first; i < end; i += labels_across) {
            body += QStringLiteral("<tr>");
            for (std::size_t place = i; place < i + labels_across; ++place) {
                body += place < end ? labelCell(labels[place]) : QStringLiteral("<td width='33%'></td>");
            }
            body += QStringLiteral("</tr>");
        }
        body += QStringLiteral("</table>");
    }
    return htmlPage(body);
}

} // namespace shimledger::desk
