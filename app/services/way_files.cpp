// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/way_files.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <cstdint>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <system_error>
#include <vector>

namespace shimledger::services {

namespace {

namespace fs = std::filesystem;

constexpr std::uintmax_t most_bytes_of_one = 64U << 20U, most_bytes = 256U << 20U;

/// Which file; the key itself is in it and is compared.
std::uint64_t nameOf(const std::string& key) {
    std::uint64_t sum = 14695981039346656037ULL; // FNV-1a
    for (const char c : key) {
        sum ^= static_cast<unsigned char>(c);
        sum *= 1099511628211ULL;
    }
    return sum;
}

std::string versionOfThisProgram() {
    std::error_code error;
    const fs::path program = fs::read_symlink("/proc/self/exe", error);
    if (error) return "";
    const auto size = fs::file_size(program, error);
    const auto changed = fs::last_write_time(program, error).time_since_epoch().count();
    return error ? "" : fmt::format("{} {} {}", program.string(), size, changed);
}

} // namespace

WayFiles::WayFiles(fs::path folder) : m_folder(std::move(folder)), m_version(versionOfThisProgram()) {}

fs::path WayFiles::usualFolder() {
    const char* cache = std::getenv("XDG_CACHE_HOME");
    if (cache != nullptr && *cache == '/') return fs::path(cache) / "shimledger" / "ways";
    const char* home = std::getenv("HOME");
    if (home != nullptr && *home == '/') return fs::path(home) / ".cache" / "shimledger" / "ways";
    return {};
}

fs::path WayFiles::fileOf(const std::string& key) const {
    return m_folder / fmt::format("{:016x}.ways", nameOf(key));
}

std::optional<std::string> WayFiles::read(const std::string& key) noexcept {
    try {
        if (m_folder.empty() || m_version.empty()) return std::nullopt;
        const fs::path path = fileOf(key);
        std::error_code error;
        if (!fs::is_regular_file(path, error) || fs::file_size(path, error) > most_bytes_of_one || error)
            return std::nullopt;
        std::ifstream in(path, std::ios::binary);
        std::string bytes{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
        if (!in.good() && !in.eof()) return std::nullopt;
        fs::last_write_time(path, fs::file_time_type::clock::now(), error); // it is in use
        return bytes;
    } catch (...) {
        return std::nullopt;
    }
}

void WayFiles::write(const std::string& key, const std::string& bytes) noexcept {
    try {
        if (m_folder.empty() || m_version.empty()) return;
        std::error_code error;
        fs::create_directories(m_folder, error);
        if (error) return;
        static std::atomic<unsigned> number{0};
        const fs::path path = fileOf(key);
        const fs::path making = m_folder / fmt::format(".making-{}-{}", ::getpid(), number++);
        {
            std::ofstream out(making, std::ios::binary | std::ios::trunc);
            out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
            out.close();
            if (!out) {
                fs::remove(making, error);
                return;
            }
        }
        fs::rename(making, path, error);
        if (error) fs::remove(making, error);
    } catch (...) {
        return; // it is made anew the next time
    }
}

void WayFiles::tidy() noexcept {
    try {
        struct Kept {
            fs::file_time_type used;
            std::uintmax_t size;
            fs::path path;
        };
        std::vector<Kept> kept;
        std::uintmax_t sum = 0;
        std::error_code error;
        const auto now = fs::file_time_type::clock::now();
        for (const auto& entry : fs::directory_iterator(m_folder, error)) {
            const std::string name = entry.path().filename().string();
            const bool ours = name.ends_with(".ways"), left_over = name.starts_with(".making-");
            if (!entry.is_regular_file(error) || (!ours && !left_over)) continue;
            const auto used = entry.last_write_time(error);
            if (left_over && now - used > std::chrono::hours(1)) fs::remove(entry.path(), error);
            if (!ours) continue;
            kept.push_back({used, entry.file_size(error), entry.path()});
            sum += kept.back().size;
        }
        std::sort(kept.begin(), kept.end(), [](const Kept& a, const Kept& b) { return a.used < b.used; });
        for (const Kept& one : kept) {
            if (sum <= most_bytes) break;
            if (fs::remove(one.path, error)) sum -= one.size;
        }
    } catch (...) {
        return;
    }
}

} // namespace shimledger::services
