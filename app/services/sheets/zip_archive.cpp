// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/zip_archive.h"

#include <array>

namespace shimledger::services {

namespace {

constexpr std::size_t largest_entry = std::size_t{64} << 20U;

struct CloseEntry {
    void operator()(zip_file_t* entry) const { zip_fclose(entry); }
};

} // namespace

ZipArchive::ZipArchive(const std::string& bytes) {
    zip_error_t error;
    zip_error_init(&error);
    zip_source_t* source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error);
    if (source == nullptr) return;
    m_archive.reset(zip_open_from_source(source, ZIP_RDONLY, &error));
    if (m_archive == nullptr) zip_source_free(source);
}

std::int64_t ZipArchive::size() const {
    return m_archive == nullptr ? 0 : zip_get_num_entries(m_archive.get(), 0);
}

std::string ZipArchive::name(std::int64_t place) const {
    const char* name = zip_get_name(m_archive.get(), static_cast<zip_uint64_t>(place), 0);
    return name == nullptr ? std::string() : name;
}

bool ZipArchive::has(const std::string& name) const {
    return m_archive != nullptr && zip_name_locate(m_archive.get(), name.c_str(), ZIP_FL_NOCASE) >= 0;
}

std::optional<std::string> ZipArchive::text(const std::string& name) const {
    if (m_archive == nullptr) return std::nullopt;
    const zip_int64_t place = zip_name_locate(m_archive.get(), name.c_str(), ZIP_FL_NOCASE);
    return place < 0 ? std::nullopt : text(place);
}

std::optional<std::string> ZipArchive::text(std::int64_t place) const {
    const std::unique_ptr<zip_file_t, CloseEntry> entry(
        zip_fopen_index(m_archive.get(), static_cast<zip_uint64_t>(place), 0));
    if (entry == nullptr) return std::nullopt;
    std::string text;
    std::array<char, 65536> block{};
    while (true) {
        const zip_int64_t got = zip_fread(entry.get(), block.data(), block.size());
        if (got < 0 || text.size() > largest_entry) return std::nullopt;
        if (got == 0) return text;
        text.append(block.data(), static_cast<std::size_t>(got));
    }
}

} // namespace shimledger::services
