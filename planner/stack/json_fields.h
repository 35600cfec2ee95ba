#pragma once

#include "planner/units/input_error.h"
#include "planner/units/length.h"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <initializer_list>
#include <string>
#include <string_view>

/// How the parts of STACK.json are read: every one names the field in its InputError.
namespace shimledger::planner {

inline void checkFields(const nlohmann::json& object, std::initializer_list<std::string_view> known,
                        const std::string& where) {
    if (!object.is_object()) throw InputError(where + " must be an object in braces");
    for (const auto& [key, value] : object.items()) {
        if (std::find(known.begin(), known.end(), key) == known.end()) {
            throw InputError(where + " has an unknown field '" + key.substr(0, 40) + "'");
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
