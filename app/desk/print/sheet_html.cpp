#include "app/desk/print/sheet_html.h"

#include "app/desk/path_text.h"
#include "inventory/money.h"

#include <QCoreApplication>

namespace shimledger::desk {

namespace {

QString words(const char* text) {
    return QCoreApplication::translate("SheetHtml", text);
}

QString safe(const std::string& text) {
    return textOf(text).toHtmlEscaped();
}

const QString tick_box(QChar(0x2610));

QString page(const QString& body) {
    return QStringLiteral("<html><head><style>"
                          "body{font-family:'DejaVu Sans',sans-serif;font-size:9pt;color:#000000}"
                          "h1{font-size:15pt;margin-bottom:2pt} h2{font-size:11pt;margin-top:10pt}"
                          "th{text-align:left;background-color:#e8e8e5}"
                          "td,th{padding:3pt 5pt}"
                          "</style></head><body>") +
           body + QStringLiteral("</body></html>");
}

QString row(const QStringList& cells, const QString& tag = QStringLiteral("td")) {
    QString text = QStringLiteral("<tr>");
    for (const QString& cell : cells) {
        text += QStringLiteral("<%1>%2</%1>").arg(tag, cell);
    }
    return text + QStringLiteral("</tr>");
}

QString grid(const QStringList& columns, const QString& rows) {
    return QStringLiteral("<table border='1' cellspacing='0' width='100%'>") +
           row(columns, QStringLiteral("th")) + rows + QStringLiteral("</table>");
}

QString stackCell(const QString& title, const std::vector<services::BuildRow>& rows, const Length& height) {
    QString lines;
    int number = 0;
    for (const services::BuildRow& line : rows) {
        const QString what = safe(line.text);
        const QString replaced =
            line.replaces.empty() ? QString() : words(" <i>for %1</i>").arg(safe(line.replaces));
        lines +=
            row({QString::number(++number),
                 line.replaces.empty() ? what : QStringLiteral("<b>%1</b>").arg(what) + replaced, tick_box});
    }
    return QStringLiteral("<b>%1</b>").arg(title) +
           grid({words("#"), words("Discs, piston face first"), words("Laid")}, lines) +
           words("Height %1 mm").arg(textOf(height.text(2)));
}

QString pulls(const services::PickList& list) {
    QStringList columns{tick_box, words("Bin"), words("Quantity")};
    for (int leg = 1; leg <= list.legs; ++leg) {
        columns << words("Leg %1").arg(leg);
    }
    columns << words("What") << words("In place of");
    QString rows;
    for (const services::PickLine& line : list.lines) {
        QString what = safe(line.what);
        if (line.measured) {
            what += words(" (measured %1)").arg(textOf(line.measured->text(3)));
        }
        if (line.used) {
            what += words(", used");
        }
        const QString unit = line.unit == "piece" ? QString() : QLatin1Char(' ') + safe(line.unit);
        QStringList cells{tick_box, QStringLiteral("<b>%1</b>").arg(safe(line.bin)),
                          QString::number(line.quantity) + unit};
        for (const std::int64_t share : line.per_leg) {
            cells << QString::number(share);
        }
        cells << what << safe(line.replaces);
        rows += row(cells);
    }
    return grid(columns, rows);
}

QString orderRows(const std::vector<services::ReorderLine>& lines) {
    QString rows;
    for (const services::ReorderLine& line : lines) {
        rows += row({tick_box, safe(line.part), safe(line.what), safe(line.supplier_code),
                     QString::number(line.packs), QString::number(line.pieces()),
                     textOf(inventory::moneyText(line.total())), safe(line.reason)});
    }
    return rows;
}

QStringList orderColumns() {
    return {tick_box,       words("Part"),   words("What"),  words("Order code"),
            words("Packs"), words("Pieces"), words("Price"), words("Why")};
}

} // namespace

QString pickSheetHtml(const services::PickList& list) {
    QString body = words("<h1>Pick list and build sheet: %1</h1>").arg(safe(list.job));
    body += words("<p>%1 %2, %3, legs: %4%5. %6 discs in all.</p>")
                .arg(safe(list.model), safe(list.model_text), safe(list.valve))
                .arg(list.legs)
                .arg(list.due ? words(", due %1").arg(textOf(list.due->text())) : QString())
                .arg(list.pieces());
    if (!list.note.empty()) {
        body += words("<p>Note: %1</p>").arg(safe(list.note));
    }
    body += words("<h2>Pull, in walking order</h2>") + pulls(list);
    for (const std::string& missing : list.missing) {
        body += QStringLiteral("<p><b>%1 %2</b></p>").arg(QChar(0x25B2)).arg(safe(missing));
    }
    body += words("<h2>Build, each leg</h2>");
    body += QStringLiteral("<table width='100%'><tr><td width='50%' valign='top'>%1</td>"
                           "<td width='50%' valign='top'>%2</td></tr></table>")
                .arg(stackCell(words("Target"), list.target, list.target_height),
                     stackCell(words("Build"), list.build, list.build_height));
    body += words("<h2>Before you build</h2><ul>");
    for (const std::string& caution : list.cautions) {
        body += QStringLiteral("<li>%1</li>").arg(safe(caution));
    }
    return page(body + words("</ul><p>Made %1.</p>").arg(textOf(list.made.text())));
}

QString reorderSheetHtml(const services::ReorderPlan& plan) {
    QString body = words("<h1>Reorder sheet</h1><p>Made %1.</p>").arg(textOf(plan.made.text()));
    for (const services::SupplierOrder& order : plan.orders) {
        body += QStringLiteral("<h2>%1</h2>").arg(safe(order.supplier.name));
        body += grid(orderColumns(), orderRows(order.lines));
        body += words("<p>In all %1 %2</p>")
                    .arg(textOf(inventory::moneyText(order.total())), safe(order.supplier.currency));
    }
    if (!plan.unoffered.empty()) {
        body += words("<h2>Nobody sells these</h2>") + grid(orderColumns(), orderRows(plan.unoffered));
    }
    for (const std::string& note : plan.notes) {
        body += QStringLiteral("<p>%1</p>").arg(safe(note));
    }
    return page(body);
}

QString tableSheetHtml(const SheetTable& table) {
    QString rows;
    for (const QStringList& cells : table.rows) {
        QStringList escaped;
        for (const QString& cell : cells) {
            escaped << cell.toHtmlEscaped();
        }
        rows += row(escaped);
    }
    QString body = QStringLiteral("<h1>%1</h1>").arg(table.title.toHtmlEscaped());
    if (!table.note.isEmpty()) {
        body += QStringLiteral("<p>%1</p>").arg(table.note.toHtmlEscaped());
    }
    if (!table.picture.isEmpty()) {
        body += QStringLiteral("<p><img src='%1' width='640'></p>").arg(table.picture);
    }
    return page(body + grid(table.columns, rows));
}

} // namespace shimledger::desk
