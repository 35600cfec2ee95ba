// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "planner/units/input_error.h"
#include "planner/units/length.h"
#include "planner/units/near_name.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

/// How the parts of STACK.json are read: every one names the field in its InputError.
namespace shimledger::planner {

/// As much of a typed text as a sentence bears; bytes that are no letters become '?'.
[[nodiscard]] inline std::string shown(std::string_view text) {
    constexpr std::size_t most = 40;
    std::string result(text.substr(0, most));
    for (char& c : result) {
        const auto byte = static_cast<unsigned char>(c);
        if (byte < 0x20 || byte > 0x7e) c = '?';
    }
    return text.size() > most ? result + "..." : result;
}

[[nodiscard]] inline std::string listed(const std::vector<std::string>& names) {
    std::string text;
    for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
    return text;
}

inline void checkFields(const nlohmann::json& object, std::initializer_list<std::string_view> known,
                        const std::string& where) {
    if (!object.is_object()) throw InputError(where + " must be an object in braces");
    for (const auto& [key, value] : object.items()) {
        if (std::find(known.begin(), known.end(), key) == known.end()) {
            const std::vector<std::string> names(known.begin(), known.end());
            throw InputError(where + " has an unknown field '" + shown(key) + "'" +
                             nearNameText(key, names, "it may have " + listed(names)));
        }
    }
}

[[nodiscard]] inline const nlohmann::json& field(const nlohmann::json& object, const char* name,
                                                 const std::string& where) {
    const auto found = object.find(name);
    if (found == object.end()) throw InputError(where + " lacks '" + name + "'");
    return *found;
}

[[nodiscard]] inline double numberIn(const nlohmann::json& value, const std::string& what) {
    if (!value.is_number()) throw InputError(what + " must be a number");
    return value.get<double>();
}

[[nodiscard]] inline Length lengthIn(const nlohmann::json& value, const std::string& what) {
    const double millimetres = numberIn(value, what);
    try {
        return Length::fromMillimetres(millimetres);
    } catch (const InputError& error) {
        throw InputError(what + ": " + error.what());
    }
}

[[nodiscard]] inline Length requiredLength(const nlohmann::json& object, const char* name,
                                           const std::string& where) {
    return lengthIn(field(object, name, where), where + "." + name);
}

} // namespace shimledger::planner
