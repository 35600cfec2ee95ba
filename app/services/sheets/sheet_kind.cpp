#include "app/services/sheets/sheet_kind.h"

#include "inventory/input_file.h"
#include "planner/units/input_error.h"

#include <zip.h>

#include <array>
#include <memory>

namespace shimledger::services {

namespace {

constexpr std::size_t largest_workbook = std::size_t{64} << 20U;

struct CloseArchive {
    void operator()(zip_t* archive) const { zip_discard(archive); }
};
struct CloseEntry {
    void operator()(zip_file_t* entry) const { zip_fclose(entry); }
};

/// The text of one file of the archive; "" where there is none. The archive is handed over as bytes, since a
/// file that a person names is opened by nothing but InputFile.
std::string entryOf(const std::string& bytes, const char* name) {
    zip_error_t error;
    zip_error_init(&error);
    zip_source_t* source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error);
    if (source == nullptr) return "";
    const std::unique_ptr<zip_t, CloseArchive> archive(zip_open_from_source(source, ZIP_RDONLY, &error));
    if (archive == nullptr) {
        zip_source_free(source);
        return "";
    }
    const std::unique_ptr<zip_file_t, CloseEntry> entry(zip_fopen(archive.get(), name, 0));
    if (entry == nullptr) return "";
    std::string text;
    std::array<char, 4096> block{};
    constexpr std::size_t most = 1U << 20U; // the properties of a workbook are a few hundred bytes
    while (text.size() < most) {
        const zip_int64_t got = zip_fread(entry.get(), block.data(), block.size());
        if (got <= 0) break;
        text.append(block.data(), static_cast<std::size_t>(got));
    }
    return text;
}

} // namespace

std::string sheetKindOf(const std::filesystem::path& workbook) {
    std::error_code error;
    const auto size = std::filesystem::file_size(workbook, error);
    if (error || size > largest_workbook || inventory::firstBytes(workbook, 2) != "PK") return "";
    const std::string bytes = inventory::InputFile(workbook).all();
    const std::string properties = entryOf(bytes, "docProps/custom.xml");
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

} // namespace shimledger::services
