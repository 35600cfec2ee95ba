// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <zip.h>

#include <cstdint>
#include <memory>
#include <optional>
#include <string>

namespace shimledger::services {

/// The files inside a workbook. It is handed over as bytes, since a file that a person names is opened by
/// nothing but InputFile; they must outlive the archive.
class ZipArchive {
public:
    explicit ZipArchive(const std::string& bytes);

    [[nodiscard]] bool good() const { return m_archive != nullptr; } ///< the bytes are an archive
    [[nodiscard]] std::int64_t size() const;
    [[nodiscard]] std::string name(std::int64_t place) const;
    /// Nothing where there is none of that name, or where it cannot be read to its end or is larger than 64
    /// MiB.
    [[nodiscard]] std::optional<std::string> text(const std::string& name) const;
    [[nodiscard]] std::optional<std::string> text(std::int64_t place) const;
    [[nodiscard]] bool has(const std::string& name) const;

private:
    struct Close {
        void operator()(zip_t* archive) const { zip_discard(archive); }
    };
    std::unique_ptr<zip_t, Close> m_archive;
};

} // namespace shimledger::services
