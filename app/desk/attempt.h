// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desk/problem.h"

#include <QString>

#include <exception>
#include <optional>

namespace shimledger::desk {

/// Runs a step of the user's whose refusal belongs at a place of its own (beneath the field, in the page's
/// strip): the sentence of bad input or of a fault of the disk, nothing where it went well. Bugs pass, to be
/// told by the guard of the slot.
template <typename Step>
[[nodiscard]] std::optional<QString> problemOf(Step&& step) {
    try {
        step();
        return std::nullopt;
    } catch (...) {
        Problem problem = problemIn(std::current_exception());
        if (problem.kind == Problem::Kind::bug) throw;
        return std::move(problem.sentence);
    }
}

/// A sentence beneath the field that it is about: the mark tells it from others without its colour.
[[nodiscard]] inline QString withProblemMark(const QString& sentence) {
    return QString(QChar(0x25B2)) + QLatin1Char(' ') + sentence;
}

} // namespace shimledger::desk
