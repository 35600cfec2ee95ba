// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/raw_sheet.h"
#include "app/services/sheet_import/sheet_fields.h"

#include "inventory/csv_reader.h"
#include "planner/units/input_error.h"

#include <array>
#include <optional>
#include <set>
#include <sstream>

namespace shimledger::services {

namespace {

constexpr std::size_t sample_bytes = std::size_t{1} << 16U;
constexpr std::size_t sample_rows = 40;

RawSheet rowsOf(const std::string& text, char delimiter) {
    std::istringstream in(text);
    inventory::CsvReader reader(in, {delimiter, true});
    inventory::CsvRecord record;
    RawSheet sheet;
    sheet.delimiter = delimiter;
    while (reader.next(record)) {
        RawRow row{record.line, {}};
        bool blank = record.fault.empty();
        for (std::string& cell : record.cells) {
            blank = blank && cell.find_first_not_of(" \t\xc2\xa0") == std::string::npos;
            row.cells.push_back({std::move(cell)});
        }
        if (blank) continue;
        if (!record.fault.empty()) {
            row.cells.assign(1, RawCell{});
            row.cells[0].fault = record.fault;
        }
        sheet.rows.push_back(std::move(row));
    }
    return sheet;
}

/// How well the text reads with the delimiter: fields that its best row of headings names, then rows that
/// have as many cells as that row.
std::pair<std::size_t, std::size_t> worthOf(const RawSheet& sheet) {
    std::pair<std::size_t, std::size_t> best{0, 0};
    std::size_t width = 0;
    for (std::size_t i = 0; i < sheet.rows.size() && i < sample_rows; ++i) {
        std::set<const SheetField*> fields;
        for (const RawCell& cell : sheet.rows[i].cells)
            fields.insert(fieldOfHeading(headingWords(cell.text).words));
        fields.erase(nullptr);
        if (fields.size() > best.first) {
            best.first = fields.size();
            width = sheet.rows[i].cells.size();
        }
    }
    for (std::size_t i = 0; i < sheet.rows.size() && i < sample_rows; ++i) {
        const std::size_t cells = sheet.rows[i].cells.size();
        if (cells > 1 && (width == 0 || cells == width)) ++best.second;
    }
    return best;
}

/// "sep=;": the first line of some sheets says the delimiter.
std::optional<char> toldDelimiter(const std::string& text) {
    if (text.size() < 6 || (text.compare(0, 4, "sep=") != 0 && text.compare(0, 4, "SEP=") != 0)) return {};
    return text[5] == '\n' || text[5] == '\r' ? std::optional<char>(text[4]) : std::nullopt;
}

void append(std::string& text, char32_t letter) {
    if (letter < 0x80) {
        text += static_cast<char>(letter);
    } else if (letter < 0x800) {
        text += static_cast<char>(0xc0 | letter >> 6U);
        text += static_cast<char>(0x80 | (letter & 0x3fU));
    } else if (letter < 0x10000) {
        text += static_cast<char>(0xe0 | letter >> 12U);
        text += static_cast<char>(0x80 | (letter >> 6U & 0x3fU));
        text += static_cast<char>(0x80 | (letter & 0x3fU));
    } else {
        text += static_cast<char>(0xf0 | letter >> 18U);
        text += static_cast<char>(0x80 | (letter >> 12U & 0x3fU));
        text += static_cast<char>(0x80 | (letter >> 6U & 0x3fU));
        text += static_cast<char>(0x80 | (letter & 0x3fU));
    }
}

std::string fromUtf16(const std::string& bytes, std::size_t start, bool high_first) {
    std::string text;
    const auto unit = [&](std::size_t at) {
        const auto first = static_cast<unsigned char>(bytes[at]),
                   second = static_cast<unsigned char>(bytes[at + 1]);
        return static_cast<char32_t>(high_first ? first << 8U | second : second << 8U | first);
    };
    for (std::size_t at = start; at + 1 < bytes.size(); at += 2) {
        char32_t letter = unit(at);
        if (letter >= 0xd800 && letter < 0xdc00 && at + 3 < bytes.size()) {
            const char32_t low = unit(at + 2);
            if (low >= 0xdc00 && low < 0xe000) {
                letter = 0x10000 + ((letter - 0xd800) << 10U) + (low - 0xdc00);
                at += 2;
            }
        }
        append(text, letter >= 0xd800 && letter < 0xe000 ? 0xfffd : letter);
    }
    return text;
}

/// Bytes 0x80 to 0x9f of Windows-1252 (Unicode's mapping CP1252.TXT); the others are as in Latin-1.
constexpr std::array<char32_t, 32> windows_1252{
    0x20ac, 0x81,   0x201a, 0x192,  0x201e, 0x2026, 0x2020, 0x2021, 0x2c6,  0x2030, 0x160,
    0x2039, 0x152,  0x8d,   0x17d,  0x8f,   0x90,   0x2018, 0x2019, 0x201c, 0x201d, 0x2022,
    0x2013, 0x2014, 0x2dc,  0x2122, 0x161,  0x203a, 0x153,  0x9d,   0x17e,  0x178};

bool isUtf8Text(const std::string& text) {
    for (std::size_t i = 0; i < text.size();) {
        const auto first = static_cast<unsigned char>(text[i++]);
        int more = 0;
        if (first >= 0xc2 && first <= 0xdf) more = 1;
        if (first >= 0xe0 && first <= 0xef) more = 2;
        if (first >= 0xf0 && first <= 0xf4) more = 3;
        if (first >= 0x80 && more == 0) return false;
        for (; more > 0; --more, ++i) {
            if (i >= text.size() || (static_cast<unsigned char>(text[i]) & 0xc0U) != 0x80) return false;
        }
    }
    return true;
}

} // namespace

std::string utf8Of(const std::string& bytes) {
    if (bytes.starts_with("\xef\xbb\xbf")) return bytes.substr(3);
    if (bytes.starts_with("\xff\xfe")) return fromUtf16(bytes, 2, false);
    if (bytes.starts_with("\xfe\xff")) return fromUtf16(bytes, 2, true);
    // UTF-16 without a mark: every other byte of the headings is 0.
    if (bytes.size() >= 4 && bytes[0] != 0 && bytes[1] == 0 && bytes[2] != 0 && bytes[3] == 0)
        return fromUtf16(bytes, 0, false);
    if (bytes.size() >= 4 && bytes[0] == 0 && bytes[1] != 0 && bytes[2] == 0 && bytes[3] != 0)
        return fromUtf16(bytes, 0, true);
    if (isUtf8Text(bytes)) return bytes;
    std::string text;
    for (const char byte : bytes) {
        const auto value = static_cast<unsigned char>(byte);
        append(text, value >= 0x80 && value < 0xa0 ? windows_1252[value - 0x80U] : value);
    }
    return text;
}

RawSheet readDelimitedText(const std::string& text, char delimiter) {
    std::string rest = text;
    std::int64_t lines_above = 0;
    if (const auto told = toldDelimiter(text); told && delimiter == 0) {
        delimiter = *told;
        rest = text.substr(text.find('\n') == std::string::npos ? 6 : text.find('\n') + 1);
        lines_above = 1;
    }
    if (delimiter == 0) {
        std::string sample = rest.substr(0, sample_bytes);
        if (sample.size() < rest.size()) sample.erase(sample.find_last_of("\r\n") + 1);
        std::pair<std::size_t, std::size_t> best{0, 0};
        delimiter = ',';
        for (const char candidate : {',', ';', '\t', '|'}) {
            const auto worth = worthOf(rowsOf(sample, candidate));
            if (worth > best) {
                best = worth;
                delimiter = candidate;
            }
        }
    }
    RawSheet sheet = rowsOf(rest, delimiter);
    for (RawRow& row : sheet.rows) row.line += lines_above;
    return sheet;
}

} // namespace shimledger::services
