// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/job.h"
#include "inventory/shop_file.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

/// What became of a stack that was tried.
enum class TryUse {
    none,   ///< nothing yet
    base,   ///< it was the target until a wish took its place
    target, ///< it was made the target
    build   ///< it was accepted as what is built
};

/// A stack that somebody tried for a job, beside its target, and what was wished of it.
struct StackTry {
    std::string job;
    std::string name;   ///< of its own within the job
    std::string wanted; ///< factor on the pressure over lift, verbatim: "0:0.9,0.2:1"; empty: no wish
    TryUse kept_as = TryUse::none;
    std::string base;           ///< name of the try that the wish is held against; empty: the job's target
    std::string made_by;        ///< may be empty
    UtcTime made;               ///< now where it is not given
    std::vector<StackRow> rows; ///< none replaces another
    std::optional<Length> clamp_od{}; ///< that it stands on; empty: the job's valve's

    bool operator==(const StackTry&) const = default;
};

[[nodiscard]] std::string_view tryUseName(TryUse use); ///< "", "base", "target", "build"
[[nodiscard]] TryUse parseTryUse(std::string_view text);

/// The ShopFile must outlive it.
class StackTries {
public:
    explicit StackTries(ShopFile& shop) : m_shop(shop) {}

    /// Throws InputError: no such job, one that has ended, a name that it has already, no rows, a disc
    /// without size, a base that is none of the job's tries.
    void add(const StackTry& tried);
    /// One row more; the first one makes the try. Throws as add().
    void addRow(const StackTry& tried, const StackRow& row);
    /// Throws InputError: no such try, one that became the target, its base or the build, a job that has
    /// ended.
    void remove(std::string_view job, std::string_view name);
    [[nodiscard]] std::vector<StackTry> ofJob(std::string_view job) const; ///< the oldest first
    [[nodiscard]] std::optional<StackTry> find(std::string_view job, std::string_view name) const;
    /// "Try 3": a name that the job has not yet.
    [[nodiscard]] std::string freeName(std::string_view job, std::string_view what = "Try") const;

private:
    ShopFile& m_shop;
};

} // namespace shimledger::inventory
