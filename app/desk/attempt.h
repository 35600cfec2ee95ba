#pragma once

#include "inventory/inventory_error.h"
#include "planner/units/input_error.h"

#include <QString>

#include <optional>

namespace shimledger::desk {

/// Runs a step of the user's: the sentence of bad input or of a fault of the shop file, nothing where it went
/// well. Bugs pass.
template <typename Step>
[[nodiscard]] std::optional<QString> problemOf(Step&& step) {
    try {
        step();
        return std::nullopt;
    } catch (const InputError& problem) {
        return QString::fromUtf8(problem.what());
    } catch (const inventory::ShopFileFault& fault) {
        return QString::fromUtf8(fault.what());
    }
}

/// A sentence beneath the field that it is about: the mark tells it from others without its colour.
[[nodiscard]] inline QString withProblemMark(const QString& sentence) {
    return QString(QChar(0x25B2)) + QLatin1Char(' ') + sentence;
}

} // namespace shimledger::desk
