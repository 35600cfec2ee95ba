// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

#include <filesystem>
#include <string_view>

namespace shimledger::desk {

[[nodiscard]] inline QString pathText(const std::filesystem::path& path) {
    return QString::fromStdU16String(path.u16string());
}

[[nodiscard]] inline std::filesystem::path pathOf(const QString& text) {
    return std::filesystem::path(text.toStdU16String());
}

[[nodiscard]] inline QString textOf(std::string_view utf8) {
    return QString::fromUtf8(utf8.data(), static_cast<qsizetype>(utf8.size()));
}

} // namespace shimledger::desk
