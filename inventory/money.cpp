// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/money.h"

#include "inventory/storage/quoted.h"
#include "planner/units/input_error.h"

#include <algorithm>

namespace shimledger::inventory {

namespace {
constexpr Hundredths largest_amount = 1'000'000'000;
}

Hundredths parseMoney(std::string_view text) {
    Hundredths amount = 0;
    int digits = 0;
    int decimals = -1; // -1: no point seen yet
    for (const char c : text) {
        if (c == '.' && decimals < 0 && digits > 0) {
            decimals = 0;
            continue;
        }
        if (c < '0' || c > '9' || decimals == 2) {
            throw InputError(inQuotes(text) +
                             " is not an amount of money: write it as 12.50, without sign or currency");
        }
        ++digits;
        if (decimals >= 0) ++decimals;
        amount = amount * 10 + (c - '0');
        if (amount > largest_amount) break;
    }
    if (digits == 0 || decimals == 0) {
        throw InputError(inQuotes(text) +
                         " is not an amount of money: write it as 12.50, without sign or currency");
    }
    for (int i = std::max(decimals, 0); i < 2; ++i) amount *= 10;
    if (amount > largest_amount)
        throw InputError(inQuotes(text) + " is out of range: an amount is at most 10000000.00");
    return amount;
}

std::string moneyText(Hundredths amount) {
    const Hundredths magnitude = amount < 0 ? -amount : amount;
    std::string text = amount < 0 ? "-" : "";
    text += std::to_string(magnitude / 100);
    text += '.';
    text += std::to_string(100 + magnitude % 100).substr(1);
    return text;
}

void checkCurrency(std::string_view currency) {
    if (currency.size() == 3 &&
        std::all_of(currency.begin(), currency.end(), [](char c) { return c >= 'A' && c <= 'Z'; })) {
        return;
    }
    throw InputError(inQuotes(currency) +
                     " is not a currency: write three capital letters after ISO 4217, such as EUR");
}

} // namespace shimledger::inventory
