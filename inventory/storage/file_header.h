#pragma once

#include <filesystem>

namespace shimledger::inventory {

/// Reads the first bytes of the file itself, so that a foreign file is turned down before SQLite can touch
/// it. Throws InputError unless it is a shop file (SQLite's magic, our application number) of a schema not
/// above `newest_schema`; ShopFileFault when it cannot be read.
void checkFileHeader(const std::filesystem::path& path, int newest_schema);

} // namespace shimledger::inventory
