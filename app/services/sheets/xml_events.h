// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>

namespace shimledger::services {

/// What an XML document says, piece by piece; names without the prefix of their namespace.
struct XmlEvents {
    using Attributes = std::map<std::string, std::string, std::less<>>;
    std::function<void(const std::string& name, const Attributes& attributes)> begin;
    std::function<void(const std::string& name)> end;
    std::function<void(std::string_view text)> text;
};

/// False where the document is not well formed. What an event throws comes out.
[[nodiscard]] bool readXml(const std::string& document, const XmlEvents& events);

} // namespace shimledger::services
