// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/input_file.h"

#include "inventory/inventory_error.h"
#include "inventory/storage/database_reader.h"

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>
#include <system_error>

namespace shimledger::inventory {

namespace {

namespace fs = std::filesystem;

class DatabaseBuffer : public std::streambuf {
public:
    explicit DatabaseBuffer(const fs::path& path) : m_reader(path) {}

protected:
    int_type underflow() override {
        const std::size_t got = m_reader.read(m_offset, m_bytes.data(), m_bytes.size());
        if (got == 0) return traits_type::eof();
        m_offset += got;
        setg(m_bytes.data(), m_bytes.data(), m_bytes.data() + got);
        return traits_type::to_int_type(m_bytes.front());
    }

private:
    DatabaseReader m_reader;
    std::uint64_t m_offset = 0;
    std::array<char, 65536> m_bytes{};
};

bool isPartOfShopFile(const fs::path& path) {
    std::error_code error;
    const fs::path real = fs::weakly_canonical(path, error);
    const std::string name = (error ? path : real).string();
    for (const std::string_view ending : {"-wal", "-shm"}) {
        if (name.size() <= ending.size() || name.substr(name.size() - ending.size()) != ending) continue;
        if (fs::exists(name.substr(0, name.size() - ending.size()), error)) return true;
    }
    return false;
}

std::unique_ptr<std::streambuf> openBuffer(const fs::path& path) {
    std::error_code error;
    const fs::file_status status = fs::status(path, error);
    if (!fs::exists(status)) throw InputError("there is no file " + path.string());
    if (fs::is_directory(status)) throw InputError(path.string() + " is a folder: name a file");
    if (isPartOfShopFile(path))
        throw InputError(path.string() +
                         " belongs to a shop file and is read by nothing else: name another file");
    if (fs::is_regular_file(status)) return std::make_unique<DatabaseBuffer>(path);
    auto pipe = std::make_unique<std::filebuf>(); // no database lies in a pipe
    if (pipe->open(path, std::ios::in | std::ios::binary) == nullptr)
        throw ShopFileFault("the file " + path.string() + " may not be read by this user");
    return pipe;
}

} // namespace

InputFile::InputFile(const fs::path& path) : m_buffer(openBuffer(path)), m_stream(m_buffer.get()) {
    m_stream.exceptions(std::ios::badbit); // a fault of the disk goes on to the caller as it is
}

InputFile::~InputFile() = default;

std::string InputFile::all() {
    return {std::istreambuf_iterator<char>(m_stream), {}};
}

std::string firstBytes(const fs::path& path, std::size_t count) {
    std::error_code error;
    if (!fs::is_regular_file(path, error)) return "";
    try {
        DatabaseReader reader(path);
        std::string bytes(count, '\0');
        bytes.resize(reader.read(0, bytes.data(), count));
        return bytes;
    } catch (const ShopFileFault&) {
        return ""; // as said: none
    }
}

} // namespace shimledger::inventory
