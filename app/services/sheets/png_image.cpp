// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/png_image.h"

#include <zlib.h>

#include <array>
#include <cstdint>
#include <stdexcept>
#include <string_view>

namespace shimledger::services {

namespace {

constexpr std::size_t quiet_modules = 4;

void addNumber(std::vector<unsigned char>& bytes, std::uint32_t number) {
    for (int shift = 24; shift >= 0; shift -= 8) bytes.push_back(static_cast<unsigned char>(number >> shift));
}

void addChunk(std::vector<unsigned char>& png, std::string_view type,
              const std::vector<unsigned char>& data) {
    addNumber(png, static_cast<std::uint32_t>(data.size()));
    std::vector<unsigned char> body(type.begin(), type.end());
    body.insert(body.end(), data.begin(), data.end());
    png.insert(png.end(), body.begin(), body.end());
    addNumber(png, static_cast<std::uint32_t>(crc32(0, body.data(), static_cast<uInt>(body.size()))));
}

/// Rows of grey bytes, each with a filter byte of 0 in front.
std::vector<unsigned char> pixelRows(const QrMark& mark, std::size_t pixels, std::size_t side) {
    std::vector<unsigned char> rows;
    rows.reserve(side * (side + 1));
    for (std::size_t y = 0; y < side; ++y) {
        rows.push_back(0);
        const std::size_t row = y / pixels;
        for (std::size_t x = 0; x < side; ++x) {
            const std::size_t column = x / pixels;
            const bool inside = row >= quiet_modules && row < quiet_modules + mark.side &&
                                column >= quiet_modules && column < quiet_modules + mark.side;
            rows.push_back(inside && mark.at(row - quiet_modules, column - quiet_modules) ? 0 : 255);
        }
    }
    return rows;
}

} // namespace

std::vector<unsigned char> markImage(const QrMark& mark, std::size_t pixels) {
    const std::size_t side = (mark.side + 2 * quiet_modules) * pixels;
    const std::vector<unsigned char> rows = pixelRows(mark, pixels, side);
    uLongf packed_size = compressBound(static_cast<uLong>(rows.size()));
    std::vector<unsigned char> packed(packed_size);
    if (compress2(packed.data(), &packed_size, rows.data(), static_cast<uLong>(rows.size()), 9) != Z_OK) {
        throw std::logic_error("a QR mark could not be packed");
    }
    packed.resize(packed_size);

    std::vector<unsigned char> png{0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n'};
    std::vector<unsigned char> header;
    addNumber(header, static_cast<std::uint32_t>(side));
    addNumber(header, static_cast<std::uint32_t>(side));
    constexpr std::array<unsigned char, 5> grey_8_bit{8, 0, 0, 0, 0};
    header.insert(header.end(), grey_8_bit.begin(), grey_8_bit.end());
    addChunk(png, "IHDR", header);
    addChunk(png, "IDAT", packed);
    addChunk(png, "IEND", {});
    return png;
}

} // namespace shimledger::services
