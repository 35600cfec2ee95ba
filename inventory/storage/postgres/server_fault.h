// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <exception>
#include <filesystem>

namespace shimledger::inventory {

// Errors of libpqxx become ours, with a sentence for people.

/// Inside a catch block, of the exception that is being handled. `lost`: the connection is gone.
[[noreturn]] void throwServerFault(const std::filesystem::path& address, bool lost);
/// Nobody answers there, or it does not let this user in.
[[noreturn]] void throwNoConnection(const std::filesystem::path& address, const std::exception& error);
/// The answer to a COMMIT was lost, and the server is still away.
[[noreturn]] void throwOutcomeUnknown(const std::filesystem::path& address);

} // namespace shimledger::inventory
