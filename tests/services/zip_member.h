// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <zlib.h>

#include <cstddef>
#include <cstdint>
#include <stdexcept>
#include <string>

namespace shimledger::services {

/// A file inside an .xlsx, unpacked: found by the central directory at the end of the zip (its layout:
/// PKWARE's APPNOTE.TXT, 4.3.7 and 4.3.12). Throws when there is none of that name.
inline std::string zipMember(const std::string& zip, const std::string& name) {
    const auto number = [&](std::size_t at, int bytes) {
        std::uint32_t value = 0;
        for (int i = bytes; i-- > 0;)
            value = (value << 8U) | static_cast<unsigned char>(zip.at(at + static_cast<std::size_t>(i)));
        return static_cast<std::size_t>(value);
    };
    for (std::size_t entry = zip.find("PK\x01\x02"); entry != std::string::npos;
         entry = zip.find("PK\x01\x02", entry + 4)) {
        if (zip.compare(entry + 46, number(entry + 28, 2), name) != 0) continue;
        const std::size_t packed = number(entry + 20, 4), plain = number(entry + 24, 4);
        const std::size_t local = number(entry + 42, 4);
        const std::size_t data = local + 30 + number(local + 26, 2) + number(local + 28, 2);
        if (number(entry + 10, 2) == 0) return zip.substr(data, plain); // stored
        std::string text(plain, '\0');
        z_stream stream{};
        if (inflateInit2(&stream, -MAX_WBITS) != Z_OK) throw std::runtime_error("zlib does not start");
        stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(zip.data() + data));
        stream.avail_in = static_cast<uInt>(packed);
        stream.next_out = reinterpret_cast<Bytef*>(text.data());
        stream.avail_out = static_cast<uInt>(plain);
        const int result = inflate(&stream, Z_FINISH);
        inflateEnd(&stream);
        if (result != Z_STREAM_END) throw std::runtime_error(name + " cannot be unpacked");
        return text;
    }
    throw std::runtime_error("there is no " + name + " in the file");
}

} // namespace shimledger::services
