// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/file_fault.h"
#include "app/services/sheets/sheet_writer.h"

namespace shimledger::services {

namespace {

constexpr double font_points = 8;
constexpr double line_points = 1.5;

/// One column of the sheet's rows as a reference: 'Sheet'!$B$2:$B$70.
void setRange(lxw_chart_series* series, const LineChart& chart, int column, bool days) {
    const auto first = static_cast<lxw_row_t>(chart.first_row), last = static_cast<lxw_row_t>(chart.last_row);
    const auto place = static_cast<lxw_col_t>(column);
    const auto set = days ? chart_series_set_categories : chart_series_set_values;
    set(series, chart.sheet.c_str(), first, place, last, place);
}

} // namespace

void SheetWriter::hideSheet() {
    worksheet_hide(m_sheet);
}

void SheetWriter::breakPagesAt(const std::vector<int>& rows) {
    std::vector<lxw_row_t> breaks;
    breaks.reserve(rows.size() + 1);
    for (const int row : rows) breaks.push_back(static_cast<lxw_row_t>(row));
    breaks.push_back(0); // ends the list
    check(worksheet_set_h_pagebreaks(m_sheet, breaks.data()));
}

void SheetWriter::putChart(int row, int column, const LineChart& lines, int width_pixels, int height_pixels) {
    lxw_chart* chart = workbook_add_chart(m_workbook, LXW_CHART_LINE);
    if (chart == nullptr) throw FileFault("a chart cannot be added to " + m_name);
    for (const LineChart::Line& line : lines.lines) {
        lxw_chart_series* series = chart_add_series(chart, nullptr, nullptr);
        if (series == nullptr) throw FileFault("a chart cannot be added to " + m_name);
        setRange(series, lines, lines.day_column, true);
        setRange(series, lines, line.column, false);
        chart_series_set_name(series, line.name.c_str());
        lxw_chart_line look{};
        look.color = line.colour;
        look.width = static_cast<float>(line_points);
        look.dash_type = line.dashed ? LXW_CHART_LINE_DASH_DASH : LXW_CHART_LINE_DASH_SOLID;
        chart_series_set_line(series, &look);
    }
    lxw_chart_font title_font{}, small_font{};
    title_font.size = font_points + 2;
    title_font.bold = LXW_TRUE;
    small_font.size = font_points;
    chart_title_set_name_range(chart, lines.sheet.c_str(), static_cast<lxw_row_t>(lines.title_row),
                               static_cast<lxw_col_t>(lines.title_column));
    chart_title_set_name_font(chart, &title_font);
    chart_legend_set_position(chart, LXW_CHART_LEGEND_BOTTOM);
    chart_legend_set_font(chart, &small_font);
    chart_axis_set_num_font(chart->x_axis, &small_font);
    chart_axis_set_num_font(chart->y_axis, &small_font);
    chart_axis_set_min(chart->y_axis, 0);
    lxw_chart_line faint{};
    faint.color = 0xE3E6E9;
    faint.width = 0.5F;
    chart_axis_major_gridlines_set_line(chart->y_axis, &faint);
    chart_axis_set_interval_unit(chart->x_axis, 13); // a quarter
    chart_axis_set_interval_tick(chart->x_axis, 13);
    chart_show_hidden_data(chart);
    lxw_chart_options options{};
    constexpr double plain_width = 480, plain_height = 288; // of a chart in the file format
    options.x_scale = width_pixels / plain_width;
    options.y_scale = height_pixels / plain_height;
    check(worksheet_insert_chart_opt(m_sheet, static_cast<lxw_row_t>(row), static_cast<lxw_col_t>(column),
                                     chart, &options));
}

} // namespace shimledger::services
