// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/header_mend.h"

#include "inventory/input_file.h"
#include "inventory/inventory_error.h"
#include "inventory/schema/schema_check.h"
#include "inventory/shop_file.h"
#include "inventory/storage/database_reader.h"
#include "inventory/storage/file_header.h"
#include "inventory/storage/open_shop_file.h"
#include "inventory/storage/shop_connection.h"

#include <algorithm>
#include <array>
#include <fstream>
#include <limits>
#include <string>

namespace shimledger::inventory {

namespace {

// After https://www.sqlite.org/fileformat2.html. All else in the header is the same in every shop file.
struct Place {
    std::size_t first, size;
};
constexpr std::array<Place, 4> of_each_file{{
    {24, 20}, // change counter, size, free pages, change of the schema
    {48, 4},  // suggested cache
    {schema_number_at, 4},
    {92, 8}, // change counter at the last size, version of the library
}};
constexpr std::size_t log_mode_at = 18; // twice: 1 or 2

/// As `damaged` where that can differ between files, else as `fresh`.
std::string soundHeader(const std::string& damaged, std::string fresh) {
    for (const Place& place : of_each_file)
        fresh.replace(place.first, place.size, damaged, place.first, place.size);
    const char mode = damaged[log_mode_at];
    if (mode == damaged[log_mode_at + 1] && (mode == 1 || mode == 2)) {
        fresh[log_mode_at] = mode;
        fresh[log_mode_at + 1] = mode;
    }
    return fresh;
}

void setSchema(std::string& header, std::int64_t number) {
    for (std::size_t i = 0; i < 4; ++i)
        header[schema_number_at + i] = static_cast<char>((number >> (8 * (3 - i))) & 0xff);
}

/// Nobody else has the copy open, so it is written as any file.
void writeHeader(const std::filesystem::path& copy, const std::string& header) {
    std::fstream file(copy, std::ios::in | std::ios::out | std::ios::binary);
    file.write(header.data(), static_cast<std::streamsize>(header.size()));
    file.close();
    if (!file) throw ShopFileFault("the disk does not take " + copy.string());
}

void copyBytes(const std::filesystem::path& from, const std::filesystem::path& to) {
    std::ofstream file(to, std::ios::binary | std::ios::trunc);
    std::filesystem::permissions(to,
                                 std::filesystem::perms::owner_read | std::filesystem::perms::owner_write);
    const DatabaseReader reader(from);
    std::string block(1U << 20U, '\0');
    for (std::uint64_t at = 0;; at += block.size()) {
        const std::size_t count = reader.read(at, block.data(), block.size());
        file.write(block.data(), static_cast<std::streamsize>(count));
        if (count < block.size()) break;
    }
    file.close();
    if (!file) throw ShopFileFault("the disk does not take " + to.string());
}

void copyWithLog(const std::filesystem::path& from, const std::filesystem::path& to) {
    copyBytes(from, to);
    const std::filesystem::path log = from.string() + "-wal";
    std::error_code error;
    if (std::filesystem::exists(log, error)) copyBytes(log, to.string() + "-wal");
}

/// How the definitions of a file fit the schema that it names to SQLite: in its header, or in a newer first
/// page that its log holds.
struct SchemaFit {
    std::size_t differences = std::numeric_limits<std::size_t>::max();
    bool any_right = false;             ///< some definition is as it should be
    std::optional<std::int64_t> schema; ///< none where nothing could be read
};

SchemaFit fitOf(const std::filesystem::path& file, std::span<const Migration> migrations) {
    try {
        SqliteConnection connection(file, Access::readOnly, systemClock());
        const SchemaDifferences differences = schemaDifferences(connection, migrations);
        return {differences.wrong.size() + differences.foreign.size(), differences.right > 0,
                schemaNumber(connection)};
    } catch (const ShopFileFault&) {
        return {};
    }
}

} // namespace

std::optional<std::int64_t> mendHeader(const std::filesystem::path& damaged,
                                       const std::filesystem::path& copy,
                                       std::span<const Migration> migrations) {
    const std::int64_t newest = migrations.back().number;
    static_cast<void>(createShopFile(copy, systemClock(), migrations));
    const std::string fresh = firstBytes(copy, file_header_size);
    removeShopFile(copy);
    const std::string found = firstBytes(damaged, file_header_size);
    if (found.size() < file_header_size) {
        static_cast<void>(checkFileHeader(damaged, static_cast<int>(newest))); // has the sentence
        return std::nullopt;
    }
    std::string header = soundHeader(found, fresh);
    const bool is_sound = header == found;
    const std::int64_t named = schemaNumberIn(found);
    const bool is_known = named >= 1 && named <= newest;
    if (is_sound && is_known) {
        const SchemaFit fit = fitOf(damaged, migrations);
        if (fit.differences == 0 && fit.schema == named) return std::nullopt;
    }

    copyWithLog(damaged, copy);
    // The schema that fits best; where several do, as where its own table cannot be read, the one that is
    // named, else the newest.
    std::optional<std::int64_t> best;
    SchemaFit best_fit;
    for (std::int64_t number = newest; number > 0; --number) {
        setSchema(header, number);
        writeHeader(copy, header);
        const SchemaFit fit = fitOf(copy, migrations);
        if (!best || fit.differences < best_fit.differences ||
            (fit.differences == best_fit.differences && number == named)) {
            best = fit.schema.value_or(number);
            best_fit = fit;
        }
    }
    // Another program's file, or one of a newer version of this one.
    if ((!best_fit.any_right && !is_sound) || (!is_known && best_fit.differences > 0)) {
        removeShopFile(copy);
        static_cast<void>(checkFileHeader(damaged, static_cast<int>(newest)));
        throw ShopFileFault("nothing can be read of " + damaged.string() + ": go back to a backup");
    }
    setSchema(header, *best);
    writeHeader(copy, header);
    return best;
}

} // namespace shimledger::inventory
