// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/postgres/server_address.h"

#include "planner/units/input_error.h"

#include <algorithm>
#include <cctype>
#include <string_view>

namespace shimledger::inventory {

namespace {

std::string_view afterScheme(std::string_view address) {
    for (const std::string_view scheme : address_schemes) {
        if (address.substr(0, scheme.size()) == scheme) return address.substr(scheme.size());
    }
    return {};
}

std::string lower(std::string_view text) {
    std::string small(text);
    std::transform(small.begin(), small.end(), small.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return small;
}

[[noreturn]] void refusePassword(std::string_view address) {
    throw InputError(
        "the address " + withoutSecret(address) +
        " holds a password, which would be seen in lists of processes and in logs: take it out, and "
        "put it into the file ~/.pgpass, where PostgreSQL looks for it");
}

/// A name of a parameter may be written in percent signs.
std::string decoded(std::string_view text) {
    std::string plain;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto digit = [&](std::size_t at) {
            return std::isxdigit(static_cast<unsigned char>(text[at])) != 0;
        };
        if (text[i] == '%' && i + 2 < text.size() && digit(i + 1) && digit(i + 2)) {
            plain += static_cast<char>(std::stoi(std::string(text.substr(i + 1, 2)), nullptr, 16));
            i += 2;
        } else {
            plain += text[i];
        }
    }
    return plain;
}

bool hasParameter(std::string_view address, std::string_view name) {
    const std::size_t question = address.find('?');
    if (question == std::string_view::npos) return false;
    std::string_view rest = address.substr(question + 1);
    while (!rest.empty()) {
        const std::size_t end = std::min(rest.find('&'), rest.size());
        const std::string_view one = rest.substr(0, end);
        if (lower(decoded(one.substr(0, one.find('=')))) == name) return true;
        rest.remove_prefix(std::min(end + 1, rest.size()));
    }
    return false;
}

} // namespace

std::string withoutSecret(std::string_view address) {
    const std::size_t start = address.size() - afterScheme(address).size();
    const std::size_t at = address.rfind('@');
    const std::string_view rest =
        at == std::string_view::npos ? address.substr(start) : address.substr(at + 1);
    return std::string(address.substr(0, start)).append(rest.substr(0, rest.find('?')));
}

void checkServerAddress(const std::string& address) {
    const std::string_view rest = afterScheme(address);
    const std::string_view place = rest.substr(0, rest.find('?'));
    // The last @: a password may hold one that somebody did not encode.
    const std::size_t at = place.rfind('@');
    if (at != std::string_view::npos && decoded(place.substr(0, at)).find(':') != std::string::npos)
        refusePassword(address);
    for (const std::string_view secret : {"password", "sslpassword"}) {
        if (hasParameter(address, secret)) refusePassword(address);
    }
    if (std::any_of(address.begin(), address.end(),
                    [](unsigned char c) { return c <= ' ' || c == 0x7f || c == '\'' || c == '\\'; })) {
        throw InputError(
            "the address " + withoutSecret(address) +
            " holds a space, a quote or another sign that no address has: write it as %20 and the like");
    }
    const std::size_t slash = place.find('/', at == std::string_view::npos ? 0 : at);
    const bool named = slash != std::string_view::npos && slash + 1 < place.size();
    if (!named && !hasParameter(address, "dbname")) {
        throw InputError("the address " + withoutSecret(address) +
                         " names no database: write postgresql://host/shop");
    }
}

std::string connectionText(const std::string& address) {
    checkServerAddress(address);
    std::string text = address;
    char joint = address.find('?') == std::string::npos ? '?' : '&';
    const auto add = [&](std::string_view name, std::string_view value) {
        if (hasParameter(address, name)) return;
        text.append(1, joint).append(name).append("=").append(value);
        joint = '&';
    };
    add("connect_timeout", "5");
    add("application_name", "shimledger");
    // A computer that has gone away without a word is noticed in this many seconds, not in two hours.
    add("keepalives_idle", "5");
    add("keepalives_interval", "5");
    add("keepalives_count", "3");
    add("tcp_user_timeout", "20000");
    add("client_encoding", "UTF8");
    return text;
}

} // namespace shimledger::inventory
