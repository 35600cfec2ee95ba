#include "inventory/storage/file_header.h"

#include "inventory/inventory_error.h"
#include "inventory/schema/schema_migrations.h"

#include <array>
#include <cstdint>
#include <fstream>
#include <string>
#include <string_view>
#include <system_error>

namespace shimledger::inventory {

namespace {

// Places in the header of a SQLite 3 file, after https://www.sqlite.org/fileformat2.html
constexpr std::size_t header_size = 100;
constexpr std::size_t user_version_at = 60;
constexpr std::size_t application_id_at = 68;

std::int64_t bigEndian32(const std::array<char, header_size>& header, std::size_t at) {
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < 4; ++i) value = (value << 8U) | static_cast<unsigned char>(header.at(at + i));
    return static_cast<std::int32_t>(value);
}

} // namespace

void checkFileHeader(const std::filesystem::path& path, int newest_schema) {
    const std::string name = path.string();
    std::error_code error;
    const auto status = std::filesystem::status(path, error);
    if (!std::filesystem::exists(status)) {
        throw InputError("there is no file " + name + ": give the path of a shop file, or make a new one");
    }
    if (!std::filesystem::is_regular_file(status))
        throw InputError(name + " is no file: give the path of a shop file");

    std::ifstream file(path, std::ios::binary);
    if (!file) throw ShopFileFault("the file " + name + " may not be read by this user");
    std::array<char, header_size> header{};
    file.read(header.data(), header_size);
    constexpr std::string_view magic("SQLite format 3\0", 16);
    if (file.gcount() < static_cast<std::streamsize>(header_size) ||
        std::string_view(header.data(), magic.size()) != magic) {
        throw InputError(name + " is no shop file; it was left as it is");
    }
    if (bigEndian32(header, application_id_at) != shop_application_id) {
        throw InputError(name + " is a database of another program, no shop file; it was left as it is");
    }
    const std::int64_t schema = bigEndian32(header, user_version_at);
    if (schema > newest_schema) {
        throw InputError(name + " was written by a newer version of this program (schema " +
                         std::to_string(schema) + ", this one knows up to " + std::to_string(newest_schema) +
                         "); it was left as it is: use the newer version");
    }
}

} // namespace shimledger::inventory
