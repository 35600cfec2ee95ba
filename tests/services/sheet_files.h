// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <zlib.h>

#include <cstddef>
#include <cstdint>
#include <fstream>
#include <string>
#include <utility>
#include <vector>

namespace shimledger::services {

using Grid = std::vector<std::vector<std::string>>;

inline void writeFile(const std::filesystem::path& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary) << bytes;
}

/// A zip whose files are stored as they are (APPNOTE.TXT 4.3).
inline std::string storedZip(const std::vector<std::pair<std::string, std::string>>& files) {
    std::string zip, directory;
    const auto put = [](std::string& to, std::size_t value, int bytes) {
        for (int i = 0; i < bytes; ++i)
            to += static_cast<char>(value >> (8U * static_cast<unsigned>(i)) & 0xffU);
    };
    for (const auto& [name, text] : files) {
        const std::size_t offset = zip.size();
        std::string common;
        put(common, 20, 2);
        put(common, 0x800, 2); // names are UTF-8
        put(common, 0, 2);
        put(common, 0, 2);
        put(common, 0x21, 2);
        put(common, crc32(0, reinterpret_cast<const Bytef*>(text.data()), static_cast<uInt>(text.size())), 4);
        put(common, text.size(), 4);
        put(common, text.size(), 4);
        put(common, name.size(), 2);
        put(common, 0, 2);
        zip += "PK\x03\x04" + common + name + text;
        directory += std::string("PK\x01\x02") + '\x14' + '\0' + common;
        put(directory, 0, 2);
        put(directory, 0, 2);
        put(directory, 0, 2);
        put(directory, 0, 4);
        put(directory, offset, 4);
        directory += name;
    }
    const std::size_t begin = zip.size();
    zip += directory + "PK\x05\x06";
    put(zip, 0, 4);
    put(zip, files.size(), 2);
    put(zip, files.size(), 2);
    put(zip, directory.size(), 4);
    put(zip, begin, 4);
    put(zip, 0, 2);
    return zip;
}

inline std::string xmlText(const std::string& text) {
    std::string escaped;
    for (const char c : text) {
        if (c == '&') {
            escaped += "&amp;";
        } else if (c == '<') {
            escaped += "&lt;";
        } else if (c == '>') {
            escaped += "&gt;";
        } else if (c == '"') {
            escaped += "&quot;";
        } else {
            escaped += c;
        }
    }
    return escaped;
}

/// What a cell of a workbook is told to be by its text: "#12.5" a number, "@46000" a day, "=F" a formula that
/// was never computed, else text ("'" before it goes).
inline std::string xlsxCell(const std::string& cell, std::size_t column, std::size_t row) {
    std::string name;
    for (std::size_t rest = column + 1; rest > 0; rest = (rest - 1) / 26)
        name.insert(name.begin(), static_cast<char>('A' + (rest - 1) % 26));
    const std::string at = "<c r=\"" + name + std::to_string(row + 1) + "\"";
    if (cell.empty()) return {};
    if (cell[0] == '#') return at + "><v>" + cell.substr(1) + "</v></c>";
    if (cell[0] == '@') return at + " s=\"1\"><v>" + cell.substr(1) + "</v></c>";
    if (cell[0] == '=') return at + "><f>SUM(A1:A2)</f></c>";
    return at + " t=\"inlineStr\"><is><t xml:space=\"preserve\">" +
           xmlText(cell[0] == '\'' ? cell.substr(1) : cell) + "</t></is></c>";
}

struct XlsxSheet {
    std::string name;
    Grid rows;
    std::string state{};  ///< "hidden"
    std::string merged{}; ///< "A2:A4"
};

/// `absolute`: sheets named from the archive's root, as some writers do.
inline std::string xlsxFile(const std::vector<XlsxSheet>& sheets, bool absolute = false) {
    std::vector<std::pair<std::string, std::string>> files;
    const std::string head = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>";
    files.emplace_back("[Content_Types].xml", head + "<Types/>");
    files.emplace_back("_rels/.rels",
                       head +
                           "<Relationships><Relationship Id=\"rId1\" "
                           "Type=\"http://x/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>");
    std::string list, relations;
    for (std::size_t i = 0; i < sheets.size(); ++i) {
        const std::string number = std::to_string(i + 1);
        list += "<sheet name=\"" + xmlText(sheets[i].name) + "\" sheetId=\"" + number + "\" r:id=\"r" +
                number + "\"" + (sheets[i].state.empty() ? "" : " state=\"" + sheets[i].state + "\"") + "/>";
        relations += "<Relationship Id=\"r" + number + "\" Type=\"http://x/worksheet\" Target=\"" +
                     (absolute ? "/xl/" : "") + "worksheets/sheet" + number + ".xml\"/>";
        std::string rows;
        for (std::size_t row = 0; row < sheets[i].rows.size(); ++row) {
            rows += "<row r=\"" + std::to_string(row + 1) + "\">";
            for (std::size_t column = 0; column < sheets[i].rows[row].size(); ++column)
                rows += xlsxCell(sheets[i].rows[row][column], column, row);
            rows += "</row>";
        }
        const std::string merged = sheets[i].merged.empty() ? ""
                                                            : "<mergeCells><mergeCell ref=\"" +
                                                                  sheets[i].merged + "\"/></mergeCells>";
        files.emplace_back("xl/worksheets/sheet" + number + ".xml",
                           head + "<worksheet><sheetData>" + rows + "</sheetData>" + merged + "</worksheet>");
    }
    files.emplace_back("xl/workbook.xml",
                       head + "<workbook xmlns:r=\"http://x/r\"><sheets>" + list + "</sheets></workbook>");
    files.emplace_back("xl/styles.xml", head +
                                            "<styleSheet><cellXfs><xf numFmtId=\"0\"/><xf numFmtId=\"14\"/>"
                                            "</cellXfs></styleSheet>");
    files.emplace_back(
        "xl/_rels/workbook.xml.rels",
        head + "<Relationships>" + relations +
            "<Relationship Id=\"s\" Type=\"http://x/styles\" Target=\"styles.xml\"/></Relationships>");
    return storedZip(files);
}

/// The same marks of cells as xlsxCell.
inline std::string odsFile(const std::string& sheet, const Grid& rows) {
    std::string table;
    for (const auto& row : rows) {
        table += "<table:table-row>";
        for (const std::string& cell : row) {
            if (cell.empty()) {
                table += "<table:table-cell/>";
            } else if (cell[0] == '#') {
                table += "<table:table-cell office:value-type=\"float\" office:value=\"" + cell.substr(1) +
                         "\"><text:p>shown</text:p></table:table-cell>";
            } else {
                table += "<table:table-cell office:value-type=\"string\"><text:p>" +
                         xmlText(cell[0] == '\'' ? cell.substr(1) : cell) + "</text:p></table:table-cell>";
            }
        }
        table += "<table:table-cell table:number-columns-repeated=\"1000\"/></table:table-row>";
    }
    return storedZip(
        {{"mimetype", "application/vnd.oasis.opendocument.spreadsheet"},
         {"content.xml",
          "<?xml version=\"1.0\"?><office:document-content xmlns:office=\"o\" xmlns:table=\"t\" "
          "xmlns:text=\"x\">"
          "<office:body><office:spreadsheet><table:table table:name=\"" +
              xmlText(sheet) + "\">" + table +
              "<table:table-row table:number-rows-repeated=\"1000000\"><table:table-cell/></table:table-row>"
              "</table:table></office:spreadsheet></office:body></office:document-content>"}});
}

} // namespace shimledger::services
