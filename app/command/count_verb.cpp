#include "app/command/verb_support.h"
#include "app/command/verbs.h"

#include "inventory/csv_reader.h"
#include "inventory/part_kinds.h"
#include "inventory/stock_ledger.h"
#include "inventory/stock_snapshot.h"
#include "planner/units/input_error.h"

#include <charconv>
#include <filesystem>
#include <fstream>
#include <map>
#include <ostream>
#include <sstream>

namespace shimledger::command {

namespace {

constexpr const char* header = "bin,part,description,condition,on_hand,counted";

std::string quoted(const std::string& text) {
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string result = "\"";
    for (const char c : text) result += c == '"' ? std::string("\"\"") : std::string(1, c);
    return result + '"';
}

void writeSheet(const inventory::StockSnapshot& snapshot, const std::string& path) {
    if (std::filesystem::exists(path)) throw InputError("'" + path + "' exists already: give another name");
    std::ofstream file(path, std::ios::binary);
    file << header << "\r\n";
    for (const inventory::StockLot& lot : snapshot.lots) {
        file << quoted(lot.bin) << ',' << quoted(lot.part) << ',' << quoted(lot.description) << ','
             << inventory::conditionName(lot.condition) << ',' << lot.on_hand << ",\r\n";
    }
    file.flush();
    if (!file) throw InputError("'" + path + "' cannot be written: is there room, and may you write there?");
}

struct CountedLot {
    std::string bin, part;
    inventory::Condition condition = inventory::Condition::fresh;
    std::int64_t expected = 0, counted = 0;
};

/// The filled-in lines; lines left empty were not counted. Every bad line is named.
std::vector<CountedLot> readSheet(const std::string& path, const inventory::StockSnapshot& snapshot) {
    std::map<std::tuple<std::string, std::string, inventory::Condition>, std::int64_t> on_hand;
    for (const inventory::StockLot& lot : snapshot.lots)
        on_hand[{lot.bin, lot.part, lot.condition}] = lot.on_hand;
    std::istringstream text(readFile(path));
    inventory::CsvReader reader(text);
    inventory::CsvRecord record;
    if (!reader.next(record) || record.cells != std::vector<std::string>{"bin", "part", "description",
                                                                         "condition", "on_hand", "counted"}) {
        throw InputError(path + ": this is no count sheet; its first line must be " + header);
    }
    std::string faults;
    std::vector<CountedLot> counted;
    const auto note = [&](const std::string& reason) {
        faults +=
            (faults.empty() ? "" : "\n") + path + ", line " + std::to_string(record.line) + ": " + reason;
    };
    while (reader.next(record)) {
        if (!record.fault.empty() || record.cells.size() != 6) {
            note(record.fault.empty() ? "there must be 6 cells" : record.fault);
            continue;
        }
        const std::string& number = record.cells[5];
        if (number.empty()) continue;
        CountedLot lot{record.cells[0], record.cells[1], inventory::Condition::fresh, 0, 0};
        const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), lot.counted);
        if (error != std::errc() || end != number.data() + number.size() || lot.counted < 0) {
            note("'" + number.substr(0, 40) + "' is no whole number of pieces, 0 or more");
            continue;
        }
        try {
            lot.condition = inventory::parseCondition(record.cells[3]);
        } catch (const InputError& bad) {
            note(bad.what());
            continue;
        }
        const auto known = on_hand.find({lot.bin, lot.part, lot.condition});
        lot.expected = known == on_hand.end() ? 0 : known->second;
        counted.push_back(lot);
    }
    if (!faults.empty()) throw InputError(faults);
    return counted;
}

} // namespace

int runStockCount(const StockVerb& verb, Streams& streams) {
    if (verb.cabinet.empty() == verb.path.empty())
        throw InputError("give either --out FILE for a count sheet or --in FILE for a filled-in one");
    auto shop = inventory::ShopFile::open(verb.shop_file);
    const inventory::StockSnapshot snapshot = inventory::stockSnapshot(shop);
    if (!verb.cabinet.empty()) {
        writeSheet(snapshot, verb.cabinet);
        streams.out << "Wrote " << verb.cabinet << " with " << snapshot.lots.size() << " lines to count.\n";
        return exit_done;
    }
    std::vector<inventory::MovementLine> lines;
    std::size_t looked_at = 0;
    for (const CountedLot& lot : readSheet(verb.path, snapshot)) {
        ++looked_at;
        if (lot.counted == lot.expected) continue;
        streams.out << "Bin " << lot.bin << ", " << lot.part << " ("
                    << inventory::conditionName(lot.condition) << "): " << lot.expected << " in the books, "
                    << lot.counted << " counted\n";
        inventory::MovementLine line;
        line.kind = inventory::MovementKind::count;
        line.part = lot.part;
        line.bin = lot.bin;
        line.condition = lot.condition;
        line.quantity = lot.counted;
        line.reason = "count sheet";
        lines.push_back(line);
    }
    if (!lines.empty() && !verb.preview) inventory::StockLedger(shop).post(lines);
    streams.out << looked_at << " counted, " << lines.size()
                << (verb.preview ? " would be corrected.\n" : " corrected.\n");
    return exit_done;
}

} // namespace shimledger::command
