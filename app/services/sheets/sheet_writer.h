// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheets/cell.h"
#include "app/services/sheets/memory_file.h"
#include "app/services/sheets/numeric_locale.h"
#include "app/services/sheets/paper_size.h"
#include "inventory/calendar.h"
#include "inventory/output_file.h"

#include <xlsxwriter.h>

#include <array>
#include <cstdint>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// How a cell looks.
enum class Look {
    title,
    note,
    heading,
    text,
    wrapped,
    marked,
    number,
    millilitres,
    money,
    total,
    tick,
    labelCode,
    labelText,
    last
};

/// Lines over days, from cells of another sheet. Rows and columns as in put().
struct LineChart {
    struct Line {
        std::string name;
        int column = 0;
        std::uint32_t colour = 0; ///< 0xRRGGBB
        bool dashed = false;
    };
    std::string sheet; ///< name, as addSheet gave it
    /// The cell of `sheet` that holds the title: a title of its own that began with "=" would be a formula.
    int title_row = 0, title_column = 0;
    int first_row = 0, last_row = 0;
    int day_column = 0;
    std::vector<Line> lines{};
};

/// One .xlsx in the making, whole from finish() on, as output_file.h says: an earlier sheet of the same
/// `kind` ("pick list") is replaced, anything else only if the target allows it. InputError for such a
/// target, FileFault when the disk does not take it.
class SheetWriter {
public:
    SheetWriter(const inventory::OutputTarget& target, std::string_view kind, std::string_view title,
                inventory::UtcTime created, PaperSize paper);
    ~SheetWriter();
    SheetWriter(const SheetWriter&) = delete;
    SheetWriter& operator=(const SheetWriter&) = delete;

    /// Adds a sheet that prints on the paper, as wide as the page, with its title and page numbers; later
    /// put() calls go to it.
    /// Returns its name.
    std::string addSheet(std::string_view name, std::string_view title, bool landscape,
                         const std::vector<double>& column_widths);
    void put(int row, int column, const Cell& cell, Look look = Look::text);
    /// Text over several columns, wrapped; `lines` is how tall the row must be.
    void putAcross(int row, int first_column, int last_column, std::string_view text, Look look,
                   int lines = 1);
    /// The same for a text of any length: rows as tall as it needs, as many as it needs, so that nothing of
    /// it is cut; what is longer than some pages is cut with a mark. Returns the row after it.
    int putText(int row, int first_column, int last_column, std::string_view text, Look look);
    /// One empty cell over several rows of a column.
    void putDown(int column, int first_row, int last_row, Look look);
    /// A square PNG picture, `side_mm` wide when the sheet is printed unscaled, inside the cell's upper left
    /// corner.
    void putImage(int row, int column, const std::vector<unsigned char>& png, double side_mm);
    /// Column headings in `row`, repeated on every page and kept in sight.
    void headings(int row, const std::vector<std::string>& texts);
    void rowHeight(int row, double points);
    /// What was put since addSheet and where typing is meant: a whole number, 0 or more.
    void wholeNumbersOnly(int first_row, int last_row, int column);
    /// The same for a list of words, of which one is chosen or nothing written.
    void choiceOnly(int first_row, int last_row, int column, const std::vector<std::string>& words);
    /// The sheet is for charts to read, not for people: hidden, and not printed.
    void hideSheet();
    /// A chart with its upper left corner in that cell.
    void putChart(int row, int column, const LineChart& chart, int width_pixels, int height_pixels);
    /// A new page begins above each of these rows.
    void breakPagesAt(const std::vector<int>& rows);
    void finish();

private:
    void begin(std::string_view kind, std::string_view title, inventory::UtcTime created);
    void check(lxw_error code) const;

    PlainNumbers m_plain_numbers;
    inventory::OutputFile m_output;
    MemoryFile m_memory; // the workbook until it is whole
    std::string m_name;
    std::string m_created_text; ///< "2026-03-09 15:05 CET"
    PaperSize m_paper;
    std::set<std::string> m_names;
    std::vector<double> m_widths; ///< of the columns of the sheet in hand
    lxw_workbook* m_workbook = nullptr;
    lxw_worksheet* m_sheet = nullptr;
    std::array<lxw_format*, static_cast<std::size_t>(Look::last)> m_formats{};
};

} // namespace shimledger::services
