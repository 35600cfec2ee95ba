// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/sheets/xml_events.h"

#include <expat.h>

#include <algorithm>
#include <exception>
#include <memory>
#include <type_traits>

namespace shimledger::services {

namespace {

std::string withoutPrefix(std::string_view name) {
    const std::size_t colon = name.rfind(':');
    return std::string(colon == std::string_view::npos ? name : name.substr(colon + 1));
}

/// The events and what one of them threw: expat is C, through which nothing may be thrown.
struct Reading {
    const XmlEvents& events;
    XML_Parser parser;
    std::exception_ptr thrown{};

    template <typename Event>
    void attempt(const Event& event) {
        if (thrown) return;
        try {
            event();
        } catch (...) {
            thrown = std::current_exception();
            XML_StopParser(parser, XML_FALSE);
        }
    }
};

void begin(void* data, const char* name, const char** attributes) {
    auto* reading = static_cast<Reading*>(data);
    reading->attempt([&] {
        XmlEvents::Attributes held;
        for (; *attributes != nullptr; attributes += 2) held[withoutPrefix(attributes[0])] = attributes[1];
        reading->events.begin(withoutPrefix(name), held);
    });
}

void end(void* data, const char* name) {
    auto* reading = static_cast<Reading*>(data);
    reading->attempt([&] { reading->events.end(withoutPrefix(name)); });
}

void text(void* data, const char* bytes, int count) {
    auto* reading = static_cast<Reading*>(data);
    reading->attempt([&] { reading->events.text({bytes, static_cast<std::size_t>(count)}); });
}

} // namespace

bool readXml(const std::string& document, const XmlEvents& events) {
    const std::unique_ptr<std::remove_pointer_t<XML_Parser>, decltype(&XML_ParserFree)> parser(
        XML_ParserCreate(nullptr), &XML_ParserFree);
    Reading reading{events, parser.get()};
    XML_SetUserData(parser.get(), &reading);
    XML_SetElementHandler(parser.get(), &begin, &end);
    XML_SetCharacterDataHandler(parser.get(), &text);
    constexpr std::size_t most_at_once = std::size_t{1} << 20U;
    std::size_t place = 0;
    do {
        const std::size_t count = std::min(most_at_once, document.size() - place);
        const bool last = place + count == document.size();
        const XML_Status status =
            XML_Parse(parser.get(), document.data() + place, static_cast<int>(count), last ? 1 : 0);
        if (reading.thrown) std::rethrow_exception(reading.thrown);
        if (status == XML_STATUS_ERROR) return false;
        place += count;
    } while (place < document.size());
    return true;
}

} // namespace shimledger::services
