// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/reorder_review_sheets.h"

#include <cmath>

namespace shimledger::services {

namespace {

constexpr int last_column = 7;
constexpr std::size_t most_rows = 40; ///< of one table; the rest is counted

std::string moneyOf(inventory::Hundredths amount, const std::string& currency) {
    if (currency.empty()) return "no price";
    return (amount < 0 ? "-" : "") + inventory::moneyText(std::abs(amount)) + " " + currency;
}

void head(SheetWriter& writer, int row, const std::vector<std::string>& texts) {
    for (std::size_t column = 0; column < texts.size(); ++column) {
        writer.put(row, static_cast<int>(column), textCell(texts[column]), Look::heading);
    }
    writer.rowHeight(row, 32);
}

int section(SheetWriter& writer, int row, const std::string& sentence) {
    writer.putAcross(row, 0, last_column, sentence, Look::note, 2);
    return row + 1;
}

int moreRows(SheetWriter& writer, int row, std::size_t count) {
    if (count <= most_rows) return row;
    writer.putAcross(row, 0, last_column, "and " + std::to_string(count - most_rows) + " more", Look::note);
    return row + 1;
}

int stockOuts(SheetWriter& writer, int row, const ReorderSummary& summary) {
    int days = 0;
    std::int64_t stand_ins = 0;
    std::map<std::string, inventory::Hundredths> cost;
    for (const StockOut& out : summary.stock_outs) {
        days += out.days;
        stand_ins += out.stand_ins;
        if (!out.currency.empty()) cost[out.currency] += out.cost;
    }
    std::string sentence = "Stock-outs from " + summary.from.text() + " to " + summary.until.text() + ": " +
                           std::to_string(summary.stock_outs.size()) + " parts, " + std::to_string(days) +
                           " days in all; " + std::to_string(stand_ins) + " pieces of other parts stood in";
    for (const auto& [currency, sum] : cost) {
        sentence += "; their price was " + moneyOf(std::abs(sum), currency) +
                    (sum < 0 ? " below" : " above") + " that of the parts wanted";
    }
    if (!summary.stock_outs.empty()) sentence += " (what it cost that jobs waited is not in it)";
    row = section(writer, row, sentence + ".");
    if (summary.stock_outs.empty()) return row + 1;
    head(writer, row++, {"Part", "What", "Times out", "Days out", "Stood in", "Dearer by", "", ""});
    std::size_t count = 0;
    for (const StockOut& out : summary.stock_outs) {
        if (++count > most_rows) break;
        writer.put(row, 0, textCell(out.part), Look::wrapped);
        writer.put(row, 1, textCell(out.what), Look::wrapped);
        writer.put(row, 2, numberCell(out.times), Look::number);
        writer.put(row, 3, numberCell(out.days), Look::number);
        writer.put(row, 4, numberCell(out.stand_ins), Look::number);
        writer.put(row, 5, textCell(out.stand_ins > 0 ? moneyOf(out.cost, out.currency) : ""), Look::text);
        writer.rowHeight(row++, 30);
    }
    return moreRows(writer, row, summary.stock_outs.size()) + 1;
}

int idle(SheetWriter& writer, int row, const std::string& what, const std::vector<IdleStock>& stock) {
    std::map<std::string, inventory::Hundredths> value;
    for (const IdleStock& line : stock) {
        if (!line.currency.empty()) value[line.currency] += line.value;
    }
    std::string sentence = what + ": " + std::to_string(stock.size()) + " parts";
    for (const auto& [currency, sum] : value) sentence += ", worth " + moneyOf(sum, currency);
    row = section(writer, row, sentence + ".");
    if (stock.empty()) return row + 1;
    head(writer, row++, {"Part", "What", "On hand", "Too many", "Last asked for", "Value", "", ""});
    std::size_t count = 0;
    for (const IdleStock& line : stock) {
        if (++count > most_rows) break;
        writer.put(row, 0, textCell(line.part), Look::wrapped);
        writer.put(row, 1, textCell(line.what), Look::wrapped);
        writer.put(row, 2, numberCell(line.on_hand), Look::number);
        writer.put(row, 3, numberCell(line.beyond), Look::number);
        writer.put(row, 4, textCell(line.last_asked ? line.last_asked->text() : "never"), Look::text);
        writer.put(row, 5, textCell(moneyOf(line.value, line.currency)), Look::text);
        writer.rowHeight(row++, 30);
    }
    return moreRows(writer, row, stock.size()) + 1;
}

/// One part's columns on the hidden sheet: day, was, without, with, reorder point. Its code stands above
/// them.
constexpr int columns_a_part = 5;
constexpr int code_row = 1, first_course_row = 2;

int writeCourse(SheetWriter& writer, int column, const StockCourse& course) {
    int row = first_course_row;
    const auto day = [&](const CoursePoint& point) {
        writer.put(row, column, textCell(point.day.text()));
        if (course.reorder_point) writer.put(row, column + 4, numberCell(*course.reorder_point));
    };
    const auto pieces = [&](int place, double count) {
        writer.put(row, column + place, numberCell(std::llround(count)));
    };
    for (const CoursePoint& point : course.past) {
        day(point);
        pieces(1, point.pieces);
        ++row;
    }
    for (std::size_t i = 0; i < course.with.size(); ++i) {
        if (i == 0) --row; // today stands there already
        day(course.with[i]);
        pieces(2, course.without[i].pieces);
        pieces(3, course.with[i].pieces);
        ++row;
    }
    return row - 1;
}

} // namespace

void writeDrawersSheet(SheetWriter& writer, const ReorderSummary& summary) {
    writer.addSheet("Drawers", "How the drawers stand", false, {21, 34, 9, 9, 12, 14, 1, 1});
    std::string value = "On hand, at the last prices:";
    for (const auto& [currency, sum] : summary.value_on_hand) value += " " + moneyOf(sum, currency);
    if (summary.value_on_hand.empty()) value += " nothing that has a price";
    if (summary.without_price > 0) {
        value += "; " + std::to_string(summary.without_price) + " parts have no price and are not in it";
    }
    int row = section(writer, 1, value + ".");
    row = stockOuts(writer, row, summary);
    row = idle(writer, row, "Dead stock, asked for by nobody for as long as its class says", summary.dead);
    idle(writer, row, "Overstock, more than the longest cover of its class", summary.overstock);
}

void writeCourseSheets(SheetWriter& writer, const std::map<std::string, StockCourse>& courses) {
    if (courses.empty()) return;
    const std::string data = writer.addSheet("Chart data", "Stock at the end of each week", false, {12});
    writer.hideSheet();
    std::vector<LineChart> charts;
    int column = 0;
    for (const auto& [part, course] : courses) {
        LineChart chart;
        writer.put(code_row, column, textCell(part));
        chart.sheet = data;
        chart.title_row = code_row;
        chart.title_column = column;
        chart.first_row = first_course_row;
        chart.last_row = writeCourse(writer, column, course);
        chart.day_column = column;
        chart.lines = {{"on hand", column + 1, 0x1F4E79, false},
                       {"ahead, nothing ordered", column + 2, 0xB04A2F, false},
                       {"ahead, as planned", column + 3, 0x2E7D4F, false}};
        if (course.reorder_point) chart.lines.push_back({"reorder point", column + 4, 0x7A7A7A, true});
        charts.push_back(chart);
        column += columns_a_part;
    }
    writer.addSheet("Charts", "Stock over time, before and after", false, std::vector<double>(8, 13.0));
    constexpr int rows_a_chart = 13, charts_down = 5; // a page holds five down, two across
    int place = 0;
    std::vector<int> page_breaks;
    for (const LineChart& chart : charts) {
        const int row = 2 + place / 2 * rows_a_chart;
        if (place > 0 && place % (2 * charts_down) == 0)
            page_breaks.push_back(row - 1); // the chart's own border would show on both pages
        writer.putChart(row, place % 2 * 4, chart, 375, 232);
        ++place;
    }
    writer.breakPagesAt(page_breaks);
}

} // namespace shimledger::services
