// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/workbook_archive.h"

#include "app/services/sheets/zip_archive.h"
#include "inventory/input_file.h"
#include "planner/units/input_error.h"

#include <optional>

namespace shimledger::services {

namespace {

constexpr std::size_t largest_workbook = std::size_t{64} << 20U;

/// The last tag closes the first one: "<worksheet ...> ... </worksheet>".
bool endsAsItBegan(const std::string& document) {
    std::size_t begin = document.find('<');
    while (begin != std::string::npos && begin + 1 < document.size() && document[begin + 1] == '?')
        begin = document.find('<', begin + 1);
    if (begin == std::string::npos) return false;
    const std::string name =
        document.substr(begin + 1, document.find_first_of(" />\n", begin + 1) - begin - 1);
    const std::size_t end = document.find_last_not_of(" \r\n");
    const std::string last = "</" + name + ">";
    if (end + 1 >= last.size() && document.compare(end + 1 - last.size(), last.size(), last) == 0)
        return true;
    return document.find('>', begin) == end && document[end - 1] == '/'; // an empty element, whole
}

} // namespace

std::string sheetKindOf(const std::filesystem::path& workbook) {
    std::error_code error;
    const auto size = std::filesystem::file_size(workbook, error);
    if (error || size > largest_workbook || inventory::firstBytes(workbook, 2) != "PK") return "";
    const std::string bytes = inventory::InputFile(workbook).all();
    const ZipArchive archive(bytes);
    const std::string properties = archive.text("docProps/custom.xml").value_or("");
    // <property ... name="Shimledger sheet"><vt:lpwstr>pick list</vt:lpwstr></property>
    const std::size_t named = properties.find("name=\"" + std::string(sheet_kind_property) + "\"");
    if (named == std::string::npos) return "";
    constexpr std::string_view opening = "<vt:lpwstr>";
    const std::size_t begin = properties.find(opening, named);
    if (begin == std::string::npos) return "";
    const std::size_t end = properties.find("</vt:lpwstr>", begin);
    if (end == std::string::npos) return "";
    return properties.substr(begin + opening.size(), end - begin - opening.size());
}

bool workbookIsWhole(const std::string& bytes) {
    const ZipArchive archive(bytes);
    for (std::int64_t i = 0; i < archive.size(); ++i) {
        const std::string name = archive.name(i);
        const std::optional<std::string> text = archive.text(i);
        if (!text) return false;
        const bool document = name.ends_with(".xml") || name.ends_with(".rels");
        if (document && !endsAsItBegan(*text)) return false;
    }
    return archive.size() > 0;
}

} // namespace shimledger::services
