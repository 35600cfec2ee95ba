// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/input_error.h"

#include <string>
#include <string_view>

namespace shimledger::inventory {

/// Bad input that can be pinned on one field. Callers outside see an InputError; the importer turns
/// the field (named as its CSV column) into a column number.
class FieldError : public InputError {
public:
    FieldError(std::string_view column, const std::string& sentence)
        : InputError(sentence), m_column(column) {}
    [[nodiscard]] const std::string& column() const { return m_column; }

private:
    std::string m_column;
};

} // namespace shimledger::inventory
