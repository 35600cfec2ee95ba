// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/problem.h"

#include "app/services/file_fault.h"
#include "inventory/inventory_error.h"
#include "planner/units/input_error.h"

#include <QCoreApplication>

#include <filesystem>
#include <new>
#include <stdexcept>
#include <system_error>

namespace shimledger::desk {

namespace {

QString words(const char* text) {
    return QCoreApplication::translate("Problem", text);
}

Problem refusal(const char* sentence) {
    return {Problem::Kind::refusal, QString::fromUtf8(sentence)};
}

/// Said so that a person knows what is safe, what to look at, and whom to tell.
Problem bug(const char* what) {
    return {
        Problem::Kind::bug,
        words("A fault of this program, not of yours: %1. What you typed is still here. Before you do the "
              "step again, look in the drawers and their history (Ctrl+H) whether it has been booked; then "
              "close the window and open it again, and hand this sentence, with what you did last, to "
              "whoever looks after the program.")
            .arg(QString::fromUtf8(what))};
}

} // namespace

Problem problemIn(const std::exception_ptr& thrown) {
    try {
        std::rethrow_exception(thrown);
    } catch (const InputError& problem) {
        return refusal(problem.what());
    } catch (const inventory::ShopFileFault& fault) {
        return refusal(fault.what());
    } catch (const services::FileFault& fault) {
        return refusal(fault.what());
    } catch (const std::filesystem::filesystem_error& fault) {
        return {Problem::Kind::refusal, words("%1: %2").arg(QString::fromStdString(fault.path1().string()),
                                                            QString::fromStdString(fault.code().message()))};
    } catch (const std::system_error& fault) {
        return {Problem::Kind::refusal, words("The system refused what this step needs: %1. Try it again.")
                                            .arg(QString::fromStdString(fault.code().message()))};
    } catch (const std::bad_alloc&) {
        return {Problem::Kind::refusal,
                words("There is not enough memory for this step: close other programs and try it again.")};
    } catch (const std::exception& other) {
        return bug(other.what());
    } catch (...) {
        return bug("something that is no exception was thrown");
    }
}

} // namespace shimledger::desk
