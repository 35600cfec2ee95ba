// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/drive_check.h"

#include "inventory/shop_address.h"

#include <fcntl.h>
#include <sys/vfs.h>
#include <unistd.h>

#include <algorithm>
#include <array>

namespace shimledger::inventory {

namespace {

struct FileSystem {
    std::int64_t magic;
    std::string_view name;
};

// Numbers of statfs(2), section "f_type", and linux/magic.h.
constexpr std::array<FileSystem, 10> network_file_systems{{{0x6969, "NFS"},
                                                           {0x517b, "SMB"},
                                                           {0xff534d42, "CIFS"},
                                                           {0xfe534d42, "SMB2"},
                                                           {0x65735546, "FUSE"},
                                                           {0x01021997, "9P"},
                                                           {0x5346414f, "AFS"},
                                                           {0x73757245, "Coda"},
                                                           {0x00c36400, "Ceph"},
                                                           {0x564c, "NCP"}}};

} // namespace

std::string_view networkFileSystem(std::int64_t magic) {
    // f_type is signed on some machines: the high magic numbers then come as negative ones.
    const std::int64_t number = magic & 0xffffffff;
    const auto* const found = std::find_if(network_file_systems.begin(), network_file_systems.end(),
                                           [&](const FileSystem& system) { return system.magic == number; });
    return found == network_file_systems.end() ? std::string_view() : found->name;
}

bool mayBeWritten(const std::filesystem::path& shop_file) {
    const std::filesystem::path folder = shop_file.has_parent_path() ? shop_file.parent_path() : ".";
    return ::faccessat(AT_FDCWD, shop_file.c_str(), W_OK, AT_EACCESS) == 0 &&
           ::faccessat(AT_FDCWD, folder.c_str(), W_OK, AT_EACCESS) == 0;
}

std::optional<std::string> driveWarning(const std::filesystem::path& shop_file) {
    if (isServerAddress(shop_file)) return std::nullopt; // which lies on no drive of ours
    struct statfs facts {};
    std::filesystem::path asked = shop_file;
    if (::statfs(asked.c_str(), &facts) != 0) {
        asked = shop_file.has_parent_path() ? shop_file.parent_path() : std::filesystem::path(".");
        if (::statfs(asked.c_str(), &facts) != 0) return std::nullopt;
    }
    const std::string_view name = networkFileSystem(static_cast<std::int64_t>(facts.f_type));
    if (name.empty()) return std::nullopt;
    return shop_file.string() + " lies on a network drive (" + std::string(name) +
           "), where the locks between two machines cannot be trusted: work on it from one machine only, or "
           "move it to "
           "a local disk";
}

} // namespace shimledger::inventory
