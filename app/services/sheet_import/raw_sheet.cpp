// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheet_import/raw_sheet.h"

#include "app/services/sheets/workbook_reader.h"

#include "inventory/input_file.h"
#include "planner/units/input_error.h"

namespace shimledger::services {

std::vector<RawSheet> readRawSheets(const std::filesystem::path& file) {
    constexpr std::size_t largest = std::size_t{64} << 20U;
    const std::string name = file.filename().string();
    inventory::InputFile in(file);
    std::string bytes;
    std::string block(std::size_t{1} << 16U, '\0');
    while (in.stream().read(block.data(), static_cast<std::streamsize>(block.size())),
           in.stream().gcount() > 0) {
        bytes.append(block.data(), static_cast<std::size_t>(in.stream().gcount()));
        if (bytes.size() > largest) throw InputError(name + " is larger than 64 MB");
    }
    if (bytes.starts_with("PK")) return readWorkbook(bytes, name);
    if (bytes.starts_with("\xd0\xcf\x11\xe0")) {
        throw InputError(name +
                         " is a workbook of an old kind, or locked by a password: save it as .xlsx, .ods "
                         "or CSV without a password");
    }
    if (bytes.starts_with("%PDF")) throw InputError(name + " is a PDF: save the sheet as .xlsx, .ods or CSV");
    RawSheet sheet = readDelimitedText(utf8Of(bytes));
    if (sheet.rows.empty()) throw InputError(name + " is empty: it needs headings and a line for each thing");
    std::vector<RawSheet> sheets;
    sheets.push_back(std::move(sheet));
    return sheets;
}

} // namespace shimledger::services
