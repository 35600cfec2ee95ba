// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/print/html_parts.h"

#include "app/desk/path_text.h"

namespace shimledger::desk {

QString htmlText(const std::string& text) {
    return textOf(text).toHtmlEscaped();
}

QString htmlPage(const QString& body) {
    return QStringLiteral("<html><head><style>"
                          "body{font-family:'DejaVu Sans',sans-serif;font-size:9pt;color:#000000}"
                          "h1{font-size:15pt;margin-bottom:2pt} h2{font-size:11pt;margin-top:10pt}"
                          "th{text-align:left;background-color:#e8e8e5}"
                          "td,th{padding:3pt 5pt}"
                          "</style></head><body>") +
           body + QStringLiteral("</body></html>");
}

QString htmlRow(const QStringList& cells, const QString& tag) {
    QString text = QStringLiteral("<tr>");
    for (const QString& cell : cells) {
        text += QStringLiteral("<%1>%2</%1>").arg(tag, cell);
    }
    return text + QStringLiteral("</tr>");
}

QString htmlGrid(const QStringList& columns, const QString& rows) {
    return QStringLiteral("<table border='1' cellspacing='0' width='100%'>") +
           htmlRow(columns, QStringLiteral("th")) + rows + QStringLiteral("</table>");
}

QString htmlHeadingOnNewPage(const QString& text) {
    return QStringLiteral("<h1 style='page-break-before:always'>%1</h1>").arg(text);
}

} // namespace shimledger::desk
