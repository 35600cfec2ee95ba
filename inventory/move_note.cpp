// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/move_note.h"

#include "inventory/inventory_error.h"
#include "inventory/output_file.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <fstream>
#include <ostream>
#include <string_view>
#include <system_error>

namespace shimledger::inventory {

namespace {

namespace fs = std::filesystem;

fs::path noteOf(const fs::path& shop) {
    return shop.string() + ".moved-to";
}

bool isThere(const fs::path& path) {
    std::error_code error;
    return fs::exists(fs::symlink_status(path, error));
}

} // namespace

fs::path pathOfArriving(const fs::path& shop) {
    return shop.string() + ".moving";
}

std::optional<MoveNote> readMoveNote(const fs::path& shop) {
    std::ifstream in(noteOf(shop), std::ios::binary);
    MoveNote note;
    std::string line;
    while (std::getline(in, line)) {
        const std::size_t space = line.find(' ');
        const std::string_view name = std::string_view(line).substr(0, space);
        const std::string value = space == std::string::npos ? "" : line.substr(space + 1);
        if (name == "to") note.to = value;
        if (name == "kept") note.kept = value;
        if (name == "movements") std::from_chars(value.data(), value.data() + value.size(), note.movements);
        if (name == "checksum") note.last_checksum = value;
        if (name == "arrived") note.arrived = true;
    }
    if (note.to.empty() || note.kept.empty()) return std::nullopt;
    return note;
}

void writeMoveNote(const fs::path& shop, const MoveNote& note) {
    OutputFile file({noteOf(shop), true}, "note of a move");
    file.write([&](std::ostream& out) {
        out << "This shop " << (note.arrived ? "has moved" : "is on its way") << " to a server.\nto "
            << note.to << "\nkept " << note.kept.string() << "\nmovements " << note.movements << "\nchecksum "
            << note.last_checksum << '\n';
        if (note.arrived) out << "arrived\n";
    });
    file.commit();
}

void removeMoveNote(const fs::path& shop) noexcept {
    std::error_code ignored; // beside a shop that is there it says nothing
    fs::remove(noteOf(shop), ignored);
}

void tellMove(const fs::path& shop) {
    if (isThere(shop)) return;
    const std::string name = shop.string();
    if (const auto note = readMoveNote(shop)) {
        const std::string kept = " (the old file is kept as " + note->kept.string() + ")";
        if (note->arrived)
            throw InputError("the shop " + name + " has moved to " + note->to + kept + ": open it there");
        throw InputError("the shop " + name + " was on its way to " + note->to +
                         " when its move was broken off" + kept + ": 'shimledger move " + name + " " +
                         note->to + "' finds out whether it arrived, and ends it");
    }
    if (isThere(pathOfArriving(shop))) {
        throw InputError("a move of a shop from a server to " + name +
                         " was broken off, or is going on: 'shimledger move ADDRESS " + name +
                         "' with the server's address ends it");
    }
}

void syncFolderOf(const fs::path& file) {
    const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path(".");
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-vararg)
    const int opened = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    const int failed = opened < 0 || ::fsync(opened) != 0 ? errno : 0;
    if (opened >= 0) ::close(opened);
    if (failed != 0 && failed != EINVAL) // EINVAL: a file system that knows no sync of folders
        throw ShopFileFault("the folder " + folder.string() +
                            " cannot be written: " + std::generic_category().message(failed));
}

} // namespace shimledger::inventory
