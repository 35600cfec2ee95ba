// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/input_error.h"

#include <cstdint>
#include <stdexcept>
#include <string>

namespace shimledger::inventory {

/// A file that the disk does not take or give: full, not allowed, failing. One sentence fit to show; a file
/// that was there before is unharmed. The command ends with exit code 1.
class FileFault : public std::runtime_error {
public:
    explicit FileFault(const std::string& sentence) : std::runtime_error(sentence) {}
};

/// A fault of the shop file or of the machine, not of what was asked: disk full, I/O error, damaged file, or
/// another program that holds the shop file for longer than the waiting time. The message is one sentence
/// fit to show. The write that met it was rolled back as a whole. The command ends with exit code 1.
class ShopFileFault : public FileFault {
public:
    using FileFault::FileFault;
};

/// A server was asked to book something and did not say whether it did: it may be booked, or not.
class OutcomeUnknown : public ShopFileFault {
public:
    using ShopFileFault::ShopFileFault;
};

/// A movement that the drawers or the job do not allow: more wanted than is available, on hand or reserved.
/// what() is one sentence that names part, bin, job, wanted and available; nothing of its batch was posted.
class StockRefusal : public InputError {
public:
    StockRefusal(const std::string& sentence, std::string part, std::string bin, std::string job,
                 std::int64_t wanted, std::int64_t available)
        : InputError(sentence), m_part(std::move(part)), m_bin(std::move(bin)), m_job(std::move(job)),
          m_wanted(wanted), m_available(available) {}

    [[nodiscard]] const std::string& part() const { return m_part; }
    [[nodiscard]] const std::string& bin() const { return m_bin; }
    [[nodiscard]] const std::string& job() const { return m_job; } ///< empty where no job is concerned
    [[nodiscard]] std::int64_t wanted() const { return m_wanted; }
    [[nodiscard]] std::int64_t available() const { return m_available; }

private:
    std::string m_part;
    std::string m_bin;
    std::string m_job;
    std::int64_t m_wanted;
    std::int64_t m_available;
};

/// Since the snapshot that a plan was made from, the drawers or the job have come to be so that it cannot be
/// booked; nothing was posted. Take a new snapshot, plan again. Nobody has typed anything wrong.
class StockChanged : public InputError {
public:
    explicit StockChanged(const std::string& sentence) : InputError(sentence) {}
};

} // namespace shimledger::inventory
