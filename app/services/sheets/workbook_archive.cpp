#include "app/services/sheets/workbook_archive.h"

#include "inventory/input_file.h"
#include "planner/units/input_error.h"

#include <zip.h>

#include <array>
#include <memory>
#include <optional>

namespace shimledger::services {

namespace {

constexpr std::size_t largest_workbook = std::size_t{64} << 20U;

struct CloseArchive {
    void operator()(zip_t* archive) const { zip_discard(archive); }
};
struct CloseEntry {
    void operator()(zip_file_t* entry) const { zip_fclose(entry); }
};

using Archive = std::unique_ptr<zip_t, CloseArchive>;

/// Null where the bytes are no archive. They are handed over as bytes, since a file that a person names is
/// opened by nothing but InputFile; they must outlive the archive.
Archive openArchive(const std::string& bytes) {
    zip_error_t error;
    zip_error_init(&error);
    zip_source_t* source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error);
    if (source == nullptr) return {};
    Archive archive(zip_open_from_source(source, ZIP_RDONLY, &error));
    if (archive == nullptr) zip_source_free(source);
    return archive;
}

/// The text of one file of the archive; nothing where it cannot be read to its end.
std::optional<std::string> textOf(zip_t* archive, zip_uint64_t index) {
    const std::unique_ptr<zip_file_t, CloseEntry> entry(zip_fopen_index(archive, index, 0));
    if (entry == nullptr) return {};
    std::string text;
    std::array<char, 65536> block{};
    while (true) {
        const zip_int64_t got = zip_fread(entry.get(), block.data(), block.size());
        if (got < 0 || text.size() > largest_workbook) return {};
        if (got == 0) return text;
        text.append(block.data(), static_cast<std::size_t>(got));
    }
}

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
    const Archive archive = openArchive(bytes);
    if (archive == nullptr) return "";
    const zip_int64_t place = zip_name_locate(archive.get(), "docProps/custom.xml", 0);
    if (place < 0) return "";
    const std::string properties = textOf(archive.get(), static_cast<zip_uint64_t>(place)).value_or("");
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
    const Archive archive = openArchive(bytes);
    if (archive == nullptr) return false;
    const zip_int64_t entries = zip_get_num_entries(archive.get(), 0);
    for (zip_int64_t i = 0; i < entries; ++i) {
        const auto index = static_cast<zip_uint64_t>(i);
        const std::string name = zip_get_name(archive.get(), index, 0);
        const std::optional<std::string> text = textOf(archive.get(), index);
        if (!text) return false;
        const bool document = name.ends_with(".xml") || name.ends_with(".rels");
        if (document && !endsAsItBegan(*text)) return false;
    }
    return entries > 0;
}

} // namespace shimledger::services
