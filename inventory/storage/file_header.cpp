// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/file_header.h"

#include "inventory/input_file.h"
#include "inventory/inventory_error.h"
#include "inventory/schema/schema_migrations.h"
#include "inventory/storage/database_reader.h"

#include <string_view>
#include <system_error>

namespace shimledger::inventory {

namespace {

constexpr std::size_t read_version_at = 19; // 2: WAL
constexpr std::size_t application_id_at = 68;

std::int64_t bigEndian32(const std::string& header, std::size_t at) {
    std::uint32_t value = 0;
    for (std::size_t i = 0; i < 4; ++i) value = (value << 8U) | static_cast<unsigned char>(header.at(at + i));
    return static_cast<std::int32_t>(value);
}

} // namespace

std::int64_t schemaNumberIn(const std::string& header) {
    return bigEndian32(header, schema_number_at);
}

bool isInWalMode(const std::filesystem::path& path) {
    const std::string header = firstBytes(path, file_header_size);
    return header.size() == file_header_size && header[read_version_at] == 2;
}

std::int64_t checkFileHeader(const std::filesystem::path& path, int newest_schema) {
    const std::string name = path.string();
    std::error_code error;
    const auto status = std::filesystem::status(path, error);
    if (!std::filesystem::exists(status)) {
        throw InputError("there is no file " + name + ": give the path of a shop file, or make a new one");
    }
    if (!std::filesystem::is_regular_file(status))
        throw InputError(name + " is no file: give the path of a shop file");

    std::string header(file_header_size, '\0');
    header.resize(DatabaseReader(path).read(0, header.data(), file_header_size));
    constexpr std::string_view magic("SQLite format 3\0", 16);
    if (header.size() < file_header_size || header.compare(0, magic.size(), magic) != 0) {
        throw InputError(name + " is no shop file; it was left as it is");
    }
    if (bigEndian32(header, application_id_at) != shop_application_id) {
        throw InputError(name + " is a database of another program, no shop file; it was left as it is");
    }
    const std::int64_t schema = schemaNumberIn(header);
    if (schema > newest_schema) {
        throw InputError(name + " was written by a newer version of this program (schema " +
                         std::to_string(schema) + ", this one knows up to " + std::to_string(newest_schema) +
                         "); it was left as it is: use the newer version");
    }
    return schema;
}

} // namespace shimledger::inventory
