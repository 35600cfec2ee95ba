// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

#include <exception>

namespace shimledger::desk {

/// What stands in the way of a step, as it is told to people.
struct Problem {
    enum class Kind {
        refusal, ///< bad input, or a fault of the disk or of the machine: the sentence says what to do
        bug      ///< a fault of this program
    };
    Kind kind = Kind::refusal;
    QString sentence; ///< whole, fit to show
};

/// The one place where exceptions become sentences. InputError, and the faults that the layers below name
/// (ShopFileFault, FileFault), say theirs; the system's errors and want of memory are given one; everything
/// else, std::logic_error before all, is a bug of ours.
[[nodiscard]] Problem problemIn(const std::exception_ptr& thrown);

} // namespace shimledger::desk
