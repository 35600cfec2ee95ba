// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/sheet_looks.h"

namespace shimledger::services {

namespace {

constexpr lxw_color_t heading_fill = 0xDDE3E8;
constexpr lxw_color_t mark_fill = 0xFFF0C8; // light enough to read when printed in grey
constexpr lxw_color_t line_colour = 0x9AA4AD;

void drawBox(lxw_format* format) {
    format_set_border(format, LXW_BORDER_THIN);
    format_set_border_color(format, line_colour);
    format_set_align(format, LXW_ALIGN_VERTICAL_CENTER);
}

} // namespace

lxw_format* makeFormat(lxw_workbook* workbook, Look look) {
    lxw_format* format = workbook_add_format(workbook);
    if (format == nullptr) return nullptr;
    switch (look) {
    case Look::title:
        format_set_bold(format);
        format_set_font_size(format, 16);
        break;
    case Look::note:
        format_set_text_wrap(format);
        format_set_align(format, LXW_ALIGN_VERTICAL_TOP);
        break;
    case Look::heading:
        drawBox(format);
        format_set_bold(format);
        format_set_text_wrap(format);
        format_set_bg_color(format, heading_fill);
        break;
    case Look::wrapped:
        drawBox(format);
        format_set_indent(format, 1);
        format_set_text_wrap(format);
        break;
    case Look::marked:
        drawBox(format);
        format_set_indent(format, 1);
        format_set_bold(format);
        format_set_text_wrap(format);
        format_set_bg_color(format, mark_fill);
        break;
    case Look::number:
        drawBox(format);
        format_set_num_format(format, "0");
        break;
    case Look::millilitres:
        drawBox(format);
        format_set_num_format(format, "0\" ml\"");
        break;
    case Look::money:
        drawBox(format);
        format_set_num_format(format, "#,##0.00");
        break;
    case Look::total:
        drawBox(format);
        format_set_bold(format);
        format_set_num_format(format, "#,##0.00");
        format_set_bg_color(format, heading_fill);
        break;
    case Look::text:
        drawBox(format);
        format_set_indent(format, 1); // away from a number in the cell before
        break;
    case Look::labelCode:
        drawBox(format);
        format_set_indent(format, 1);
        format_set_bold(format);
        format_set_font_size(format, 18);
        break;
    case Look::labelText:
        drawBox(format);
        format_set_indent(format, 1);
        format_set_text_wrap(format);
        format_set_font_size(format, 12);
        break;
    case Look::tick:
    case Look::last:
        drawBox(format);
        break;
    }
    return format;
}

} // namespace shimledger::services
