// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/postgres/server_fault.h"

#include "inventory/inventory_error.h"

#include <pqxx/except>

#include <algorithm>
#include <new>
#include <stdexcept>
#include <string>

namespace shimledger::inventory {

namespace {

/// The first line, without what libpq puts before it: sentences have one.
std::string firstLine(std::string text) {
    text.resize(std::min(text.size(), text.find('\n')));
    for (const std::string_view before : {"ERROR:  ", "FATAL:  "}) {
        if (text.rfind(before, 0) == 0) text = text.substr(before.size());
    }
    return text;
}

/// libpqxx leaves the code out where it has a class for the error.
std::string codeOf(const pqxx::sql_error& error) {
    if (!error.sqlstate().empty()) return error.sqlstate();
    if (dynamic_cast<const pqxx::insufficient_privilege*>(&error) != nullptr) return "42501";
    if (dynamic_cast<const pqxx::disk_full*>(&error) != nullptr) return "53100";
    if (dynamic_cast<const pqxx::insufficient_resources*>(&error) != nullptr) return "53000";
    return {};
}

[[noreturn]] void throwOfCode(const std::string& shop, const pqxx::sql_error& error) {
    const std::string code = codeOf(error);
    const std::string detail = " (" + firstLine(error.what()) + ")";
    const auto is = [&](std::string_view group) { return code.rfind(group, 0) == 0; };
    if (is("55P03")) {
        throw ShopFileFault(shop +
                            " is in use by another program that has not finished its own entry: nothing "
                            "was changed, try again in a moment");
    }
    if (is("40") || is("25P03")) {
        throw ShopFileFault(shop + " was changed by others in the same moment" + detail +
                            ": nothing was changed, try again");
    }
    if (is("42501"))
        throw InputError("this user may not do that in " + shop + detail +
                         ": whoever looks after the server gives the role shimledger_bench to those who book "
                         "entries, shimledger_reader to those who look");
    if (is("25006")) throw InputError(shop + " may only be read here: nothing can be booked in it");
    if (is("22021") || is("22P05"))
        throw InputError(
            "a text holds bytes that are no UTF-8, which a shop on a server cannot keep: write it "
            "in UTF-8");
    if (is("54000"))
        throw InputError("a code or a name is longer than a shop on a server can keep" + detail +
                         ": make it shorter than 2000 letters");
    if (is("53100"))
        throw ShopFileFault("the disk of the server of " + shop + " is full: nothing was changed");
    if (is("53") || is("54") || is("57") || is("58"))
        throw ShopFileFault("the server of " + shop + " could not do it" + detail +
                            ": nothing was changed, try again in a moment");
    if (is("XX00"))
        throw ShopFileFault(shop + " is damaged on its server" + detail + ": go back to a backup");
    throw std::logic_error("inventory broke a rule of its own database: " + std::string(error.what()) +
                           " in: " + error.query());
}

} // namespace

void throwServerFault(const std::filesystem::path& address, bool lost) {
    const std::string shop = "the shop " + address.string();
    try {
        std::rethrow_exception(std::current_exception());
    } catch (const std::exception& error) {
        if (lost) {
            throw ShopFileFault("the server of " + shop +
                                " does not answer any more: nothing was changed, and work goes on when it is "
                                "back (" +
                                firstLine(error.what()) + ")");
        }
        if (const auto* sql = dynamic_cast<const pqxx::sql_error*>(&error)) throwOfCode(shop, *sql);
        if (dynamic_cast<const pqxx::transaction_rollback*>(&error) != nullptr) {
            throw ShopFileFault(shop + " was changed by others in the same moment (" +
                                firstLine(error.what()) + "): nothing was changed, try again");
        }
        if (dynamic_cast<const pqxx::broken_connection*>(&error) != nullptr) {
            throw ShopFileFault("the server of " + shop + " does not answer (" + firstLine(error.what()) +
                                "): nothing was changed, try again in a moment");
        }
        throw;
    }
}

void throwNoConnection(const std::filesystem::path& address, const std::exception& error) {
    throw ShopFileFault("there is no connection to the shop " + address.string() + ": " +
                        firstLine(error.what()));
}

void throwOutcomeUnknown(const std::filesystem::path& address) {
    throw OutcomeUnknown(
        "the connection to the shop " + address.string() +
        " broke while the entry was being booked, and the server has not come back since: look "
        "at the last entries before you book it once more");
}

} // namespace shimledger::inventory
