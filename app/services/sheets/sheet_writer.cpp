// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/sheet_writer.h"

#include "app/services/file_fault.h"
#include "app/services/sheets/sheet_looks.h"
#include "app/services/sheets/workbook_archive.h"

#include <algorithm>
#include <array>
#include <ctime>
#include <filesystem>
#include <system_error>
#include <vector>

namespace shimledger::services {

namespace {

constexpr std::uint8_t paper_letter = 1; // numbers of the file format (ECMA-376, pageSetup paperSize)
constexpr std::uint8_t paper_a4 = 9;
constexpr double line_points = 15;

/// libxlsxwriter takes the created date as a UTC time_t.
std::time_t timeOf(inventory::UtcTime time) {
    return static_cast<std::time_t>(time.moment().time_since_epoch().count());
}

/// By the clock on the wall, and which clock that is: who reads the paper does not reckon.
std::string readable(inventory::UtcTime time) {
    const std::time_t moment = timeOf(time);
    std::tm local{};
    if (localtime_r(&moment, &local) == nullptr) return time.text();
    std::array<char, 64> text{};
    std::strftime(text.data(), text.size(), "%Y-%m-%d %H:%M %Z", &local);
    return text.data();
}

/// Lines of at most so many bytes, parts of the text: at its own breaks, else between words, of a word only
/// where it is longer, and never in the middle of a character.
std::vector<std::string_view> brokenAtWords(std::string_view text, std::size_t most) {
    const auto within = [](char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U; };
    std::vector<std::string_view> lines;
    for (std::size_t begin = 0; begin <= text.size();) {
        std::size_t end = std::min(text.find('\n', begin), text.size());
        bool gap = true; // what follows is a break or a blank, and belongs to no line
        if (end - begin > most) {
            const std::size_t blank = text.rfind(' ', begin + most);
            gap = blank != std::string_view::npos && blank > begin;
            end = gap ? blank : begin + most;
            while (!gap && end > begin + 1 && within(text[end])) --end;
        }
        lines.push_back(text.substr(begin, end - begin));
        begin = end + (gap ? 1 : 0);
    }
    return lines;
}

lxw_row_t rowNumber(int row) {
    return static_cast<lxw_row_t>(row);
}
lxw_col_t columnNumber(int column) {
    return static_cast<lxw_col_t>(column);
}

} // namespace

SheetWriter::SheetWriter(const inventory::OutputTarget& target, std::string_view kind, std::string_view title,
                         inventory::UtcTime created, PaperSize paper)
    : m_output(target, kind,
               [kind = std::string(kind)](const std::filesystem::path& file) {
                   return sheetKindOf(file) == kind;
               }),
      m_name(target.path.string()), m_created_text(readable(created)), m_paper(paper) {
    // The library's own scratch files, too, where no disk can be full.
    std::string scratch = "/dev/shm";
    std::error_code error;
    lxw_workbook_options options{};
    if (std::filesystem::is_directory(scratch, error)) options.tmpdir = scratch.data();
    m_workbook = workbook_new_opt(m_memory.path().c_str(), &options);
    if (m_workbook == nullptr) throw FileFault("the sheet " + m_name + " cannot be begun");
    try {
        begin(kind, title, created);
    } catch (...) { // no destructor runs for what was not made whole
        lxw_workbook_free(m_workbook);
        throw;
    }
}

void SheetWriter::begin(std::string_view kind, std::string_view title, inventory::UtcTime created) {
    std::string title_text(title);
    lxw_doc_properties properties{};
    properties.title = title_text.data();
    properties.created = timeOf(created);
    check(workbook_set_properties(m_workbook, &properties));
    check(workbook_set_custom_property_string(m_workbook, std::string(sheet_kind_property).c_str(),
                                              std::string(kind).c_str()));
    for (std::size_t look = 0; look < m_formats.size(); ++look) {
        m_formats[look] = makeFormat(m_workbook, static_cast<Look>(look));
        if (m_formats[look] == nullptr) throw FileFault("there is not enough memory for " + m_name);
    }
}

SheetWriter::~SheetWriter() {
    if (m_workbook != nullptr) lxw_workbook_free(m_workbook);
}

void SheetWriter::check(lxw_error code) const {
    if (code == LXW_NO_ERROR) return;
    throw FileFault("the sheet " + m_name + " cannot be written: " + lxw_strerror(code));
}

std::string SheetWriter::addSheet(std::string_view wish, std::string_view title, bool landscape,
                                  const std::vector<double>& column_widths) {
    std::string name = sheetName(wish, m_names);
    m_sheet = workbook_add_worksheet(m_workbook, name.c_str());
    if (m_sheet == nullptr) throw FileFault("the sheet " + name + " cannot be added to " + m_name);
    worksheet_set_paper(m_sheet, m_paper == PaperSize::a4 ? paper_a4 : paper_letter);
    if (landscape) worksheet_set_landscape(m_sheet);
    worksheet_fit_to_pages(m_sheet, 1, 0); // as wide as the page, as many pages as it takes
    worksheet_set_margins(m_sheet, 0.5, 0.5, 0.7, 0.7);
    check(worksheet_set_footer(
        m_sheet,
        ("&L" + headerText(title) + "&R" + headerText(m_created_text) + "     Page &P of &N").c_str()));
    m_widths = column_widths;
    for (std::size_t column = 0; column < column_widths.size(); ++column) {
        const auto number = static_cast<lxw_col_t>(column);
        check(worksheet_set_column(m_sheet, number, number, column_widths[column], nullptr));
    }
    put(0, 0, textCell(title), Look::title);
    rowHeight(0, 24);
    return name;
}

void SheetWriter::put(int row, int column, const Cell& cell, Look look) {
    lxw_format* format = m_formats[static_cast<std::size_t>(look)];
    const auto r = rowNumber(row);
    const auto c = columnNumber(column);
    switch (cell.kind) {
    case Cell::Kind::blank:
        check(worksheet_write_blank(m_sheet, r, c, format));
        break;
    case Cell::Kind::text:
        check(worksheet_write_string(m_sheet, r, c, cell.text.c_str(), format));
        break;
    case Cell::Kind::number:
        check(worksheet_write_number(m_sheet, r, c, cell.number, format));
        break;
    case Cell::Kind::formula:
        check(worksheet_write_formula_num(m_sheet, r, c, cell.text.c_str(), format, cell.number));
        break;
    }
}

void SheetWriter::putAcross(int row, int first_column, int last_column, std::string_view text, Look look,
                            int lines) {
    const std::string held(text);
    check(worksheet_merge_range(m_sheet, rowNumber(row), columnNumber(first_column), rowNumber(row),
                                columnNumber(last_column), nullptr,
                                m_formats[static_cast<std::size_t>(look)]));
    put(row, first_column, textCell(held), look); // merge_range would store a number for "12"
    if (lines > 1) rowHeight(row, line_points * lines);
}

int SheetWriter::putText(int row, int first_column, int last_column, std::string_view text, Look look) {
    double width = 0;
    for (int column = first_column; column <= last_column; ++column)
        width += m_widths.at(static_cast<std::size_t>(column));
    constexpr double letters_a_unit = 0.97; // of a column's width, of usual text, with some to spare
    const std::vector<std::string_view> lines =
        brokenAtWords(text, std::max<std::size_t>(10, static_cast<std::size_t>(letters_a_unit * width)));
    constexpr std::size_t lines_a_row = 24; // a row is no taller than 409 points
    constexpr std::size_t most_lines = 10 * lines_a_row;
    const std::size_t count = std::min(lines.size(), most_lines);
    for (std::size_t first = 0; first < count; first += lines_a_row) {
        const std::size_t end = std::min(first + lines_a_row, count);
        const char* const part_end = lines[end - 1].data() + lines[end - 1].size();
        std::string part(lines[first].data(), part_end);
        if (end == most_lines && lines.size() > most_lines) part += " \xE2\x80\xA6"; // an ellipsis
        putAcross(row++, first_column, last_column, part, look, static_cast<int>(end - first));
    }
    return row;
}

void SheetWriter::putDown(int column, int first_row, int last_row, Look look) {
    check(worksheet_merge_range(m_sheet, rowNumber(first_row), columnNumber(column), rowNumber(last_row),
                                columnNumber(column), nullptr, m_formats[static_cast<std::size_t>(look)]));
}

void SheetWriter::putImage(int row, int column, const std::vector<unsigned char>& png, double side_mm) {
    // The width stands at a fixed place of a PNG's header; a picture without resolution counts as 96 dpi.
    constexpr std::size_t width_at = 16;
    std::uint32_t width = 0;
    for (std::size_t i = 0; i < 4; ++i) width = (width << 8U) | png.at(width_at + i);
    constexpr double pixels_per_mm = 96 / 25.4;
    lxw_image_options options{};
    options.x_offset = 3;
    options.y_offset = 3;
    options.x_scale = side_mm * pixels_per_mm / width;
    options.y_scale = options.x_scale;
    check(worksheet_insert_image_buffer_opt(m_sheet, rowNumber(row), columnNumber(column), png.data(),
                                            png.size(), &options));
}

void SheetWriter::headings(int row, const std::vector<std::string>& texts) {
    for (std::size_t column = 0; column < texts.size(); ++column) {
        if (texts[column].empty()) continue; // a gap between two tables
        put(row, static_cast<int>(column), textCell(texts[column]), Look::heading);
    }
    check(worksheet_repeat_rows(m_sheet, rowNumber(row), rowNumber(row)));
    worksheet_freeze_panes(m_sheet, rowNumber(row + 1), 0);
}

void SheetWriter::rowHeight(int row, double points) {
    check(worksheet_set_row(m_sheet, rowNumber(row), points, nullptr));
}

void SheetWriter::wholeNumbersOnly(int first_row, int last_row, int column) {
    lxw_data_validation rule{};
    rule.validate = LXW_VALIDATION_TYPE_INTEGER;
    rule.criteria = LXW_VALIDATION_CRITERIA_GREATER_THAN_OR_EQUAL_TO;
    rule.value_number = 0;
    check(worksheet_data_validation_range(m_sheet, rowNumber(first_row), columnNumber(column),
                                          rowNumber(last_row), columnNumber(column), &rule));
}

void SheetWriter::choiceOnly(int first_row, int last_row, int column, const std::vector<std::string>& words) {
    std::vector<const char*> list;
    for (const std::string& word : words) list.push_back(word.c_str());
    list.push_back(nullptr);
    lxw_data_validation rule{};
    rule.validate = LXW_VALIDATION_TYPE_LIST;
    rule.value_list = const_cast<char**>(list.data()); // the library only reads them
    check(worksheet_data_validation_range(m_sheet, rowNumber(first_row), columnNumber(column),
                                          rowNumber(last_row), columnNumber(column), &rule));
}

void SheetWriter::finish() {
    lxw_workbook* workbook = m_workbook;
    m_workbook = nullptr; // workbook_close frees it, also when it fails
    check(workbook_close(workbook));
    const std::string bytes = m_memory.bytes();
    if (!workbookIsWhole(bytes)) {
        throw FileFault("the sheet " + m_name +
                        " cannot be written: there is no room left for scratch files");
    }
    m_output.write([&bytes](std::ostream& out) { out << bytes; });
    m_output.commit();
}

} // namespace shimledger::services
