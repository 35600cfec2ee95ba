// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <stdexcept>
#include <string>

namespace shimledger {

/// Bad input from a person or a file. The message is one sentence fit to show: what is wrong, where,
/// and what would be right. Raised before anything has been changed; the command ends with exit code 2.
class InputError : public std::runtime_error {
public:
    explicit InputError(const std::string& sentence) : std::runtime_error(sentence) {}
};

} // namespace shimledger
