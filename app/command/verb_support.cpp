// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/verb_support.h"

#include "inventory/drive_check.h"
#include "inventory/input_file.h"
#include "inventory/inventory_error.h"
#include "inventory/shop_address.h"
#include "inventory/shop_backup.h"
#include "planner/stack/stack_text.h"
#include "planner/units/input_error.h"

#include <ostream>

namespace shimledger::command {

inventory::ShopFile openShop(const std::string& path, Streams& streams) {
    if (inventory::nothingIsAt(path))
        throw InputError("there is no file " + path +
                         ": give the path of a shop file, or make a new one of a sheet: " +
                         "shimledger stock import --create --db " + path + " SHEET");
    auto shop = inventory::ShopFile::openAsAllowed(path);
    if (shop.readOnly()) {
        streams.error << "Note: " << path << " may not be written here: it is open for reading only.\n";
        return shop;
    }
    if (const auto warning = inventory::driveWarning(shop.path()))
        streams.error << "Note: " << *warning << '\n';
    try {
        static_cast<void>(inventory::backupDaily(shop));
    } catch (const inventory::ShopFileFault& fault) {
        streams.error << "Note: today's backup was not made: " << fault.what() << '\n';
    }
    return shop;
}

std::string readFile(const std::string& path) {
    constexpr std::size_t most = std::size_t{64} << 20;
    inventory::InputFile file(path);
    std::string text;
    char block[1 << 16];
    while (file.stream().read(block, sizeof block), file.stream().gcount() > 0) {
        text.append(block, static_cast<std::size_t>(file.stream().gcount()));
        if (text.size() > most) throw InputError("'" + path + "' is larger than 64 MB");
    }
    return text;
}

planner::StackFile readStackFile(const std::string& path) {
    const std::string text = readFile(path);
    try {
        return planner::parseStackFile(text);
    } catch (const InputError& error) {
        throw InputError(path + ": " + error.what());
    }
}

planner::StackSpec readStack(const std::string& path) {
    return readStackFile(path).stack;
}

Length millimetresOf(const char* option, std::string_view text) {
    try {
        return Length::parseMillimetres(text);
    } catch (const InputError& error) {
        throw InputError(std::string(option) + ": " + error.what());
    }
}

planner::Regime parseRegime(std::string_view text) {
    if (text == "large") return planner::Regime::large;
    if (text == "small") return planner::Regime::small;
    throw InputError("the model must be large or small, not '" + std::string(text.substr(0, 40)) + "'");
}

planner::ToleranceClass parseTolerance(std::string_view text) {
    if (const auto tolerance = planner::parseToleranceClass(text)) return *tolerance;
    throw InputError("the tolerance class must be normal, fine or precision, not '" +
                     std::string(text.substr(0, 40)) + "'");
}

std::string namedRow(const planner::StackSpec& stack, int row) {
    return "row " + std::to_string(row + 1) + " (" +
           planner::rowText(stack.rows()[static_cast<std::size_t>(row)]) + ")";
}

} // namespace shimledger::command
