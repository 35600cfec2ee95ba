// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/print/books_html.h"

#include "app/desk/path_text.h"
#include "app/desk/print/html_parts.h"
#include "app/services/record_words.h"

#include <QCoreApplication>

#include <algorithm>

namespace shimledger::desk {

namespace {

QString words(const char* text) {
    return QCoreApplication::translate("BooksHtml", text);
}

/// The sheet's columns stand under each other; on paper a column that is empty throughout is left out.
QString tableHtml(const services::RecordTable& table) {
    std::vector<std::size_t> columns;
    for (std::size_t column = 0; column < table.columns.size(); ++column) {
        const bool filled = std::any_of(table.rows.begin(), table.rows.end(),
                                        [column](const auto& cells) { return !cells[column].empty(); });
        if (filled) columns.push_back(column);
    }
    QString html = QStringLiteral("<h2>%1</h2>").arg(htmlText(table.title));
    if (!table.rows.empty()) {
        QStringList titles;
        for (const std::size_t column : columns) titles << htmlText(table.columns[column]);
        QString rows;
        for (const auto& cells : table.rows) {
            QStringList row;
            for (const std::size_t column : columns) row << htmlText(cells[column]);
            rows += htmlRow(row);
        }
        html += htmlGrid(titles, rows);
    }
    for (const std::string& sentence : table.sentences)
        html += QStringLiteral("<p>%1</p>").arg(htmlText(sentence));
    return html;
}

QString sumsHtml(const QString& name, const std::vector<services::ValueSum>& sums) {
    QString rows;
    for (const services::ValueSum& sum : sums) {
        rows += htmlRow({sum.name.empty() ? words("(none)") : htmlText(sum.name), QString::number(sum.lots),
                         htmlText(services::moneySumText(sum.amount))});
    }
    return QStringLiteral("<h2>%1</h2>").arg(words("By %1").arg(name.toLower())) +
           htmlGrid({name, words("Lots"), words("Value")}, rows);
}

} // namespace

QString jobRecordHtml(const services::JobRecord& record) {
    QString body = QStringLiteral("<h1>%1</h1>").arg(htmlText(services::recordTitle(record)));
    for (const std::string& line : services::recordHead(record))
        body += QStringLiteral("<p>%1</p>").arg(htmlText(line));
    for (const services::RecordTable& table : services::recordTables(record)) body += tableHtml(table);
    return htmlPage(
        body + words("<p>Made %1. Handed over by: ____________________</p>").arg(textOf(record.made.text())));
}

QString stockValueHtml(const services::StockValue& value) {
    QString body = words("<h1>Value of the stock on %1</h1><p><b>%2</b></p>")
                       .arg(textOf(value.day.text()), htmlText(services::moneySumText(value.total)));
    body += sumsHtml(words("Kind"), value.by_kind) + sumsHtml(words("Cabinet"), value.by_cabinet);
    body += words("<h2>How the amounts are made</h2>");
    for (const std::string& note : services::valueNotes(value))
        body += QStringLiteral("<p><b>%1.</b></p>").arg(htmlText(note));
    for (const std::string& sentence : value.method)
        body += QStringLiteral("<p>%1</p>").arg(htmlText(sentence));
    return htmlPage(body + words("<p>Made %1.</p>").arg(textOf(value.made.text())));
}

} // namespace shimledger::desk
