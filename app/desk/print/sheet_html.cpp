// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/print/sheet_html.h"

#include "app/desk/path_text.h"
#include "app/desk/print/html_parts.h"
#include "app/services/reorder_words.h"
#include "inventory/money.h"

#include <QCoreApplication>

namespace shimledger::desk {

namespace {

QString words(const char* text) {
    return QCoreApplication::translate("SheetHtml", text);
}

QString stackCell(const QString& title, const std::vector<services::BuildRow>& rows, const Length& height) {
    QString lines;
    int number = 0;
    for (const services::BuildRow& line : rows) {
        const QString what = htmlText(line.text);
        const QString replaced =
            line.replaces.empty() ? QString() : words(" <i>for %1</i>").arg(htmlText(line.replaces));
        lines += htmlRow({QString::number(++number),
                          line.replaces.empty() ? what : QStringLiteral("<b>%1</b>").arg(what) + replaced,
                          html_tick_box});
    }
    return QStringLiteral("<b>%1</b>").arg(title) +
           htmlGrid({words("#"), words("Discs, piston face first"), words("Laid")}, lines) +
           words("Height %1 mm").arg(textOf(height.text(2)));
}

QString pulls(const services::ComponentPick& pick) {
    const bool several = pick.valves.size() > 1;
    QStringList columns{html_tick_box, words("Bin"), words("Quantity")};
    for (int leg = 1; leg <= pick.legs(); ++leg) {
        columns << words("Leg %1").arg(leg);
    }
    if (several) columns << words("Valve");
    columns << words("What") << words("In place of");
    QString rows;
    for (const services::ComponentPick::Stop& stop : pick.walk()) {
        const services::PickLine& line = *stop.line;
        QString what = htmlText(line.what);
        if (line.measured) {
            what += words(" (measured %1)").arg(textOf(line.measured->text(3)));
        }
        if (line.used) {
            what += words(", used");
        }
        const QString unit = line.unit == "piece" ? QString() : QLatin1Char(' ') + htmlText(line.unit);
        QStringList cells{html_tick_box, QStringLiteral("<b>%1</b>").arg(htmlText(line.bin)),
                          QString::number(line.quantity) + unit};
        for (const std::optional<std::int64_t>& quantity : pick.byLeg(stop)) {
            cells << (quantity ? QString::number(*quantity) : QString());
        }
        if (several) cells << htmlText(pick.purposeOf(stop));
        cells << what << htmlText(line.replaces);
        rows += htmlRow(cells);
    }
    return htmlGrid(columns, rows);
}

QString orderRows(const std::vector<services::ReorderLine>& lines) {
    QString rows;
    for (const services::ReorderLine& line : lines) {
        rows +=
            htmlRow({html_tick_box, htmlText(line.part), htmlText(line.what), htmlText(line.supplier_code),
                     QString::number(line.packs), QString::number(line.pieces()),
                     textOf(inventory::moneyText(line.total())), htmlText(line.reason)});
    }
    return rows;
}

QStringList orderColumns() {
    return {html_tick_box,  words("Part"),   words("What"),  words("Order code"),
            words("Packs"), words("Pieces"), words("Price"), words("Why")};
}

} // namespace

QString pickSheetHtml(const services::ComponentPick& pick) {
    const services::PickList& first = pick.valves.front();
    const bool several = pick.valves.size() > 1;
    QString body = words("<h1>Pick list and build sheet: %1</h1>").arg(htmlText(first.job));
    body += words("<p>%1 %2, %3, legs: %4%5. %6 discs in all.</p>")
                .arg(htmlText(first.model), htmlText(first.model_text), htmlText(pick.valveNames()))
                .arg(pick.legs())
                .arg(first.due ? words(", due %1").arg(textOf(first.due->text())) : QString())
                .arg(pick.pieces());
    if (!first.note.empty()) {
        body += words("<p>Note: %1</p>").arg(htmlText(first.note));
    }
    body += words("<h2>Pull, in walking order</h2>") + pulls(pick);
    for (const services::PickList& valve : pick.valves) {
        for (const std::string& missing : valve.missing) {
            body += QStringLiteral("<p><b>%1 %2</b></p>").arg(QChar(0x25B2)).arg(htmlText(missing));
        }
    }
    for (const services::PickList& valve : pick.valves) {
        const QString legs =
            valve.legs == 1 && several ? words("leg %1").arg(valve.first_leg) : words("each leg");
        body += several ? words("<h2>Build %1, %2</h2>").arg(htmlText(valve.valve), legs)
                        : words("<h2>Build, each leg</h2>");
        body += QStringLiteral("<table width='100%'><tr><td width='50%' valign='top'>%1</td>"
                               "<td width='50%' valign='top'>%2</td></tr></table>")
                    .arg(stackCell(words("Target"), valve.target, valve.target_height),
                         stackCell(words("Build"), valve.build, valve.build_height));
        for (const std::string& sentence : valve.curves)
            body += QStringLiteral("<p>%1</p>").arg(htmlText(sentence));
        if (!valve.clicks.empty())
            body += words("<p>Adjuster, by a model: %1</p>").arg(htmlText(valve.clicks));
    }
    body += words("<h2>Before you build</h2><ul>");
    for (const std::string& caution : first.cautions) {
        body += QStringLiteral("<li>%1</li>").arg(htmlText(caution));
    }
    return htmlPage(body + words("</ul><p>Made %1.</p>").arg(textOf(first.made.text())));
}

QString reorderSheetHtml(const services::ReorderPlan& plan) {
    QString body = words("<h1>Reorder sheet</h1><p>Made %1.</p>").arg(textOf(plan.made.text()));
    const services::PageOne page = services::pageOne(plan);
    const auto tell = [&](const QString& heading, const std::vector<std::string>& sentences) {
        if (!sentences.empty()) body += QStringLiteral("<h2>%1</h2>").arg(heading);
        for (const std::string& sentence : sentences) {
            body += QStringLiteral("<p>%1.</p>").arg(htmlText(sentence));
        }
    };
    tell(words("What stops jobs"), page.stops);
    tell(words("What to order today"), page.today);
    tell(words("What it costs"), page.cost);
    tell(words("If nothing is ordered"), page.if_not);
    tell(words("Later"), page.later);
    for (const services::SupplierOrder& order : plan.orders) {
        body += QStringLiteral("<h2>%1</h2>").arg(htmlText(order.supplier.name));
        body += htmlGrid(orderColumns(), orderRows(order.lines));
        body += words("<p>In all %1 %2</p>")
                    .arg(textOf(inventory::moneyText(order.total())), htmlText(order.supplier.currency));
    }
    if (!plan.unoffered.empty()) {
        body += words("<h2>Nobody sells these</h2>") + htmlGrid(orderColumns(), orderRows(plan.unoffered));
    }
    for (const std::string& note : plan.notes) {
        body += QStringLiteral("<p>%1</p>").arg(htmlText(note));
    }
    return htmlPage(body);
}

QString tableSheetHtml(const SheetTable& table) {
    QString rows;
    for (const QStringList& cells : table.rows) {
        QStringList escaped;
        for (const QString& cell : cells) {
            escaped << cell.toHtmlEscaped();
        }
        rows += htmlRow(escaped);
    }
    QString body = QStringLiteral("<h1>%1</h1>").arg(table.title.toHtmlEscaped());
    if (!table.note.isEmpty()) {
        body += QStringLiteral("<p>%1</p>").arg(table.note.toHtmlEscaped());
    }
    if (!table.picture.isEmpty()) {
        body += QStringLiteral("<p><img src='%1' width='640'></p>").arg(table.picture);
    }
    return htmlPage(body + htmlGrid(table.columns, rows));
}

} // namespace shimledger::desk
