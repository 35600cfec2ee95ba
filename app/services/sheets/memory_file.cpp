// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/memory_file.h"

#include "app/services/file_fault.h"

#include <sys/mman.h>
#include <unistd.h>

#include <array>

namespace shimledger::services {

MemoryFile::MemoryFile()
    : m_file(::memfd_create("sheet", MFD_CLOEXEC)), m_path("/proc/self/fd/" + std::to_string(m_file)) {
    if (m_file < 0) throw FileFault("there is no memory left for the sheet");
}

MemoryFile::~MemoryFile() {
    ::close(m_file);
}

std::string MemoryFile::bytes() const {
    std::string all;
    std::array<char, 65536> block{};
    for (off_t at = 0;;) {
        const ssize_t got = ::pread(m_file, block.data(), block.size(), at);
        if (got < 0) throw FileFault("the memory that holds the sheet cannot be read");
        if (got == 0) return all;
        all.append(block.data(), static_cast<std::size_t>(got));
        at += got;
    }
}

} // namespace shimledger::services
