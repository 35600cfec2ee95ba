// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/strip_sheet.h"

#include "planner/units/input_error.h"

#include <algorithm>
#include <charconv>

namespace shimledger::services {

namespace {

std::vector<std::string> words(std::string_view text) {
    std::vector<std::string> found;
    std::string word;
    for (const char c : text) {
        if (c != ' ' && c != '\t') {
            word += c;
        } else if (!word.empty()) {
            found.push_back(std::move(word));
            word.clear();
        }
    }
    if (!word.empty()) found.push_back(std::move(word));
    return found;
}

[[noreturn]] void notUnderstood(std::string_view text, const std::string& what) {
    throw InputError(
        "'" + std::string(text.substr(0, 80)) + "': " + what +
        ". Write the count, the OD and the readings, such as 4 23.9 0.148 0.150; behind them > F07 if "
        "the good ones go to a drawer of your choice, and !1 bent at the end if one of them is "
        "scrap");
}

std::int64_t countOf(std::string_view text, const std::string& word) {
    std::int64_t count = 0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), count);
    if (error != std::errc() || end != word.data() + word.size() || count < 1) {
        notUnderstood(text, "'" + word.substr(0, 20) + "' is no count");
    }
    return count;
}

/// "4x23.9x0.148in" without blanks in words; a part's code may hold an x, so only words of figures are cut.
std::string cutAtTimes(const std::string& word) {
    std::string cut = word;
    for (char& c : cut) {
        if (c == 'x' || c == 'X') c = ' ';
    }
    const std::vector<SizeWord> parts = sizeWords(cut);
    return parts.size() > 1 && std::all_of(parts.begin(), parts.end(),
                                           [](const SizeWord& part) { return looksTyped(part.text); })
               ? cut
               : word;
}

} // namespace

inventory::StripRow parseStripRow(std::string_view text, SizeUnit bare) {
    inventory::StripRow row;
    std::string_view sizes = text;
    if (const std::size_t mark = text.find('!'); mark != std::string_view::npos) {
        sizes = text.substr(0, mark);
        const std::vector<std::string> scrap = words(text.substr(mark + 1));
        if (scrap.empty()) notUnderstood(text, "how many are scrap is missing after !");
        row.scrap = countOf(text, scrap[0]);
        for (std::size_t i = 1; i < scrap.size(); ++i) row.scrap_reason += (i > 1 ? " " : "") + scrap[i];
    }
    if (const std::size_t mark = sizes.find('>'); mark != std::string_view::npos) {
        const std::vector<std::string> drawer = words(sizes.substr(mark + 1));
        if (drawer.size() != 1) notUnderstood(text, "one drawer is to stand behind >");
        row.bin = drawer[0];
        sizes = sizes.substr(0, mark);
    }
    std::string line(sizes);
    if (words(sizes).size() == 1) line = cutAtTimes(words(sizes)[0]);
    std::vector<std::string> parts;
    for (SizeWord& word : sizeWords(line)) {
        if (word.text == "x" || word.text == "X" || word.text == "\xc3\x97") continue;
        parts.push_back(std::move(word.text));
    }
    if (parts.size() < 3) notUnderstood(text, "count, OD and a reading or a part are needed");
    row.count = countOf(text, parts[0]);
    row.od = typedLength(parts[1], bare).length;
    if (row.od <= Length()) notUnderstood(text, "an OD of " + row.od.text() + " mm cannot be");
    for (std::size_t i = 2; i < parts.size(); ++i) {
        if (looksTyped(parts[i])) {
            row.readings.push_back(typedLength(parts[i], bare).length);
            if (row.readings.back() <= Length()) notUnderstood(text, "a reading of 0 mm cannot be");
        } else if (parts[i].front() == '-' ||
                   parts[i].front() == '+') { // no part's code, a number with a sign
            notUnderstood(text, "'" + parts[i].substr(0, 20) + "' is no reading");
        } else if (row.part.empty()) {
            row.part = parts[i];
        } else {
            notUnderstood(text, "two parts are named");
        }
    }
    return row;
}

std::string stripRowText(const inventory::StripRow& row, SizeUnit bare) {
    std::string text = std::to_string(row.count) + " x " + typedForm(row.od, bare) + " x";
    for (const Length reading : row.readings) text += " " + typedForm(reading, bare, 3);
    if (!row.part.empty()) text += " " + row.part;
    if (!row.bin.empty()) text += " > " + row.bin;
    if (row.scrap > 0) text += " !" + std::to_string(row.scrap) + " " + row.scrap_reason;
    return text;
}

} // namespace shimledger::services
