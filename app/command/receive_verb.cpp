#include "app/command/shop_verbs.h"

#include "app/services/receive_order.h"
#include "app/services/stock_flow.h"
#include "planner/units/input_error.h"

#include <charconv>
#include <ostream>

namespace shimledger::command {

namespace {

/// "12=40@A03": line 12 of the order, 40 pieces, into bin A03.
services::ReceivedLine parseLine(const std::string& text) {
    const std::size_t equals = text.find('=');
    const std::size_t at = text.find('@');
    services::ReceivedLine line;
    const auto number = [&](std::size_t from, std::size_t to, std::int64_t& value) {
        const auto [end, error] = std::from_chars(text.data() + from, text.data() + to, value);
        return error == std::errc() && end == text.data() + to;
    };
    if (equals == std::string::npos || at == std::string::npos || at < equals ||
        !number(0, equals, line.order_line) || !number(equals + 1, at, line.quantity)) {
        throw InputError("'" + text.substr(0, 60) +
                         "' is no line of a delivery: write NUMBER=QUANTITY@BIN, such as 12=40@A03");
    }
    line.bin = text.substr(at + 1);
    return line;
}

} // namespace

int runReceive(const FlowVerb& verb, Streams& streams) {
    auto shop = inventory::ShopFile::open(verb.shop_file);
    if (verb.order.empty()) {
        if (!verb.lines.empty() || verb.close) throw InputError("--line and --close belong to --order");
        if (verb.part.empty() || verb.bin.empty()) {
            throw InputError("give --order with its lines, or --part, --bin and --quantity");
        }
        for (const std::string& sentence : services::receivePieces(shop, pieceOf(verb)).sentences)
            streams.out << sentence << '\n';
        return exit_done;
    }
    std::vector<services::ReceivedLine> lines;
    for (const std::string& text : verb.lines) lines.push_back(parseLine(text));
    const services::Delivery delivery = services::receiveOrder(shop, verb.order, lines, verb.close);
    streams.out << "Booked " << lines.size() << " lines of order " << verb.order << "; "
                << delivery.still_expected << " still expected; the order is "
                << (delivery.closed ? "closed.\n" : "open.\n");
    return exit_done;
}

int runExpected(const FlowVerb& verb, Streams& streams) {
    auto shop = inventory::ShopFile::open(verb.shop_file);
    const auto lines = services::expectedLines(shop, verb.order);
    for (const services::ExpectedLine& line : lines) {
        streams.out << line.order << ", line " << line.order_line << ": " << line.expected() << " of "
                    << line.ordered << " of " << line.part << " (" << line.what << ") from " << line.supplier
                    << (line.bin.empty() ? "" : ", lies in " + line.bin) << '\n';
    }
    if (lines.empty()) streams.out << "Nothing is expected.\n";
    return exit_done;
}

} // namespace shimledger::command
