// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/substitute/search_rules.h"

#include "planner/units/input_error.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <stdexcept>

namespace shimledger::planner {

namespace {

using Rules = SubstituteRules;
using Limits = SearchLimits;
using Kind = SearchRule::Kind;

std::string yesNo(bool value) {
    return value ? "yes" : "no";
}

/// The shortest text that reads back as the same number.
std::string numberText(double value) {
    char text[32];
    const auto end = std::to_chars(std::begin(text), std::end(text), value).ptr;
    return {std::begin(text), end};
}

double numberIn(const std::string& text) {
    double value = 0;
    std::from_chars(text.data(), text.data() + text.size(), value);
    return value;
}

Length lengthIn(const std::string& text) {
    return Length::fromMicrometres(std::llround(numberIn(text) * 1000));
}

std::string lengthText(Length length) {
    return numberText(length.millimetres());
}

std::string partText(double part) {
    return numberText(std::round(part * 1e8) / 1e6); // as a percentage, without what binary parts leave over
}

int countIn(const std::string& text) {
    return static_cast<int>(std::llround(numberIn(text)));
}

std::vector<std::string> wordsIn(const std::string& text) {
    std::vector<std::string> words(1);
    for (const char c : text) {
        const bool between = c == ',' || c == ';' || c == ' ' || c == '\t';
        if (!between)
            words.back() += c;
        else if (!words.back().empty())
            words.emplace_back();
    }
    if (words.back().empty()) words.pop_back();
    return words;
}

std::string joined(const std::vector<std::string>& words) {
    std::string text;
    for (const std::string& word : words) text += (text.empty() ? "" : ",") + word;
    return text;
}

const char* regimeName(Regime regime) {
    return regime == Regime::large ? "large" : "small";
}

std::string rowsText(const std::vector<int>& rows) {
    std::vector<std::string> words;
    for (const int row : rows) words.push_back(std::to_string(row));
    return joined(words);
}

/// `what` says which rows: "that may move".
std::vector<int> rowsIn(const std::string& text, const char* what) {
    std::vector<int> rows;
    for (const std::string& word : wordsIn(text)) {
        int row = 0;
        const auto read = std::from_chars(word.data(), word.data() + word.size(), row);
        if (read.ptr != word.data() + word.size() || row < 1) {
            throw InputError(std::string("the rows ") + what + " must be whole numbers from 1, not '" +
                             word.substr(0, 40) + "'");
        }
        rows.push_back(row);
    }
    return rows;
}

// Each entry: name, kind, least, most, label, help, choices, how it is read, how it is put.
std::vector<SearchRule> declared() {
    return {
        {"move-face",
         Kind::yes_no,
         0,
         0,
         "The face may move to a neighbouring OD",
         "The face may move to a neighbouring OD that covers ports and seat, as far as the OD step",
         {},
         [](const Rules& r, const Limits&) { return yesNo(!r.face_od_fixed); },
         [](const std::string& text, Rules& r, Limits&) { r.face_od_fixed = text != "yes"; }},
        {"move-ods",
         Kind::yes_no,
         0,
         0,
         "Tapers may move to a neighbouring OD",
         "Every taper may move to a neighbouring OD, as far as the OD step",
         {},
         [](const Rules& r, const Limits&) { return yesNo(!r.keep_every_od); },
         [](const std::string& text, Rules& r, Limits&) { r.keep_every_od = text != "yes"; }},
        {"move-rows",
         Kind::rows,
         0,
         0,
         "Rows of the target that may move",
         "Rows of the target, counted from the face as 1, whose discs may move to a neighbouring OD, as far "
         "as the OD "
         "step",
         {},
         [](const Rules& r, const Limits&) { return rowsText(r.rows_that_may_move); },
         [](const std::string& text, Rules& r, Limits&) {
             r.rows_that_may_move = rowsIn(text, "that may move");
         }},
        {"stay-rows",
         Kind::rows,
         0,
         0,
         "Rows of the target that stay",
         "Rows of the target, counted from the face as 1, that stay: the groups of one OD that they lie in "
         "keep the target's discs",
         {},
         [](const Rules& r, const Limits&) { return rowsText(r.rows_that_stay); },
         [](const std::string& text, Rules& r, Limits&) { r.rows_that_stay = rowsIn(text, "that stay"); }},
        {"groups-moved",
         Kind::count,
         0,
         20,
         "Groups that may stand at another OD at once",
         "So many groups of one OD, crossovers too, may stand at another OD at once",
         {},
         [](const Rules& r, const Limits&) { return std::to_string(r.most_groups_moved); },
         [](const std::string& text, Rules& r, Limits&) { r.most_groups_moved = countIn(text); }},
        {"od-step",
         Kind::millimetres,
         0,
         10,
         "An OD that may move, moves at most by",
         "How far an OD may move that is allowed to, mm",
         {},
         [](const Rules& r, const Limits&) { return lengthText(r.od_step); },
         [](const std::string& text, Rules& r, Limits&) { r.od_step = lengthIn(text); }},
        {"crossover-od",
         Kind::millimetres,
         0,
         10,
         "A crossover's OD may vary by",
         "How far a crossover's OD may move, mm",
         {},
         [](const Rules& r, const Limits&) { return lengthText(r.crossover_od_tolerance); },
         [](const std::string& text, Rules& r, Limits&) { r.crossover_od_tolerance = lengthIn(text); }},
        {"clamp-od-step",
         Kind::millimetres,
         0,
         10,
         "The clamp's discs may be of another OD, by up to",
         "How far the OD of the discs that are as wide as the clamp may move, and the clamp's radius with "
         "it, mm "
         "(0: it stays); of one job, a plan of all jobs leaves the clamps alone",
         {},
         [](const Rules& r, const Limits&) { return lengthText(r.clamp_od_step); },
         [](const std::string& text, Rules& r, Limits&) { r.clamp_od_step = lengthIn(text); }},
        {"crossover-gap",
         Kind::millimetres,
         0,
         5,
         "A crossover's gap may differ by",
         "How far a crossover's thickness, which is the gap, may differ, mm",
         {},
         [](const Rules& r, const Limits&) { return lengthText(r.crossover_gap_tolerance); },
         [](const std::string& text, Rules& r, Limits&) { r.crossover_gap_tolerance = lengthIn(text); }},
        {"height",
         Kind::millimetres,
         0,
         10,
         "Stack height within plus or minus",
         "How far the stack height may differ, mm",
         {},
         [](const Rules& r, const Limits&) { return lengthText(r.height_tolerance); },
         [](const std::string& text, Rules& r, Limits&) { r.height_tolerance = lengthIn(text); }},
        {"other-groups",
         Kind::count,
         0,
         20,
         "Groups that may change besides those short",
         "So many groups of one OD may change besides those that must, which are short or stand at another "
         "OD (with --wanted: all)",
         {},
         [](const Rules& r, const Limits&) { return std::to_string(r.most_other_groups_changed); },
         [](const std::string& text, Rules& r, Limits&) { r.most_other_groups_changed = countIn(text); }},
        {"most-changed",
         Kind::count,
         -1,
         500,
         "Discs changed at most, a leg (-1: any number)",
         "Most discs changed per stack (-1: no limit)",
         {},
         [](const Rules& r, const Limits&) { return std::to_string(r.most_discs_changed.value_or(-1)); },
         [](const std::string& text, Rules& r, Limits&) {
             r.most_discs_changed.reset();
             if (countIn(text) >= 0) r.most_discs_changed = countIn(text);
         }},
        {"most-discs",
         Kind::count,
         1,
         500,
         "Discs in a stack at most",
         "Most discs in a stack",
         {},
         [](const Rules& r, const Limits&) { return std::to_string(r.most_discs); },
         [](const std::string& text, Rules& r, Limits&) { r.most_discs = countIn(text); }},
        {"only-new",
         Kind::yes_no,
         0,
         0,
         "Only new discs",
         "A stack takes only new discs",
         {},
         [](const Rules& r, const Limits&) { return yesNo(r.only_new); },
         [](const std::string& text, Rules& r, Limits&) { r.only_new = text == "yes"; }},
        {"no-mixing",
         Kind::yes_no,
         0,
         0,
         "New and used discs are not mixed",
         "A stack takes only new or only used discs",
         {},
         [](const Rules& r, const Limits&) { return yesNo(!r.mix_new_and_used); },
         [](const std::string& text, Rules& r, Limits&) { r.mix_new_and_used = text != "yes"; }},
        {"keep",
         Kind::count,
         0,
         100000,
         "Leave of each size in the drawers",
         "Leave at least so many of each size in the drawers",
         {},
         [](const Rules& r, const Limits&) { return std::to_string(r.keep_in_stock); },
         [](const std::string& text, Rules& r, Limits&) { r.keep_in_stock = countIn(text); }},
        {"leave-bin",
         Kind::words,
         0,
         0,
         "Bins left alone",
         "A bin to leave alone (may be repeated)",
         {},
         [](const Rules& r, const Limits&) { return joined(r.bins_left_alone); },
         [](const std::string& text, Rules& r, Limits&) { r.bins_left_alone = wordsIn(text); }},
        {"wanted",
         Kind::curve,
         0,
         0,
         "",
         "LIFT:FACTOR,... - look for the target's curve times this factor, linear between the lifts (mm, "
         "ascending, to the working lift) and constant outside: 0:0.9,0.12:0.9,0.2:1 is a tenth softer up to "
         "0.12 mm and the same from 0.20 mm. Then all groups may change",
         {},
         [](const Rules& r, const Limits&) { return r.wanted.text(); },
         [](const std::string& text, Rules& r, Limits&) { r.wanted = WantedFactor::read(text); }},
        {"compare-loading",
         Kind::yes_no,
         0,
         0,
         "Curves are compared while the pressure rises, with friction",
         "Curves are compared while the pressure rises, with the usual friction between the discs, which "
         "adds "
         "the more the more discs there are; else without friction, in the middle of the loop",
         {},
         [](const Rules& r, const Limits&) { return yesNo(r.compare_loading); },
         [](const std::string& text, Rules& r, Limits&) { r.compare_loading = text == "yes"; }},
        {"working-lift",
         Kind::number,
         0.001,
         5,
         "",
         "Curves are compared up to this lift, mm",
         {},
         [](const Rules& r, const Limits&) { return numberText(r.working_lift_mm); },
         [](const std::string& text, Rules& r, Limits&) { r.working_lift_mm = numberIn(text); }},
        {"low-speed-lift",
         Kind::millimetres,
         0,
         5,
         "Low-speed range ends at a lift of (0: not weighted)",
         "Weigh lifts up to this one apart, mm (0: no)",
         {},
         [](const Rules& r, const Limits&) { return numberText(r.low_speed_lift_mm); },
         [](const std::string& text, Rules& r, Limits&) { r.low_speed_lift_mm = numberIn(text); }},
        {"low-speed-weight",
         Kind::number,
         0,
         100,
         "Weight of the low-speed range",
         "Weight of the deviation up to that lift",
         {},
         [](const Rules& r, const Limits&) { return numberText(r.low_speed_weight); },
         [](const std::string& text, Rules& r, Limits&) { r.low_speed_weight = numberIn(text); }},
        {"high-speed-weight",
         Kind::number,
         0,
         100,
         "Weight of the high-speed range",
         "Weight of the deviation beyond it",
         {},
         [](const Rules& r, const Limits&) { return numberText(r.high_speed_weight); },
         [](const std::string& text, Rules& r, Limits&) { r.high_speed_weight = numberIn(text); }},
        {"model",
         Kind::choice,
         0,
         0,
         "",
         "Deflection of the plates: large, or small as cube sums have it",
         {"large", "small"},
         [](const Rules& r, const Limits&) { return std::string(regimeName(r.regime)); },
         [](const std::string& text, Rules& r, Limits&) {
             r.regime = text == "large" ? Regime::large : Regime::small;
         }},
        {"tolerance",
         Kind::choice,
         0,
         0,
         "",
         "Thickness tolerance class",
         {"normal", "fine", "precision"},
         [](const Rules& r, const Limits&) { return std::string(toleranceClassName(r.tolerance)); },
         [](const std::string& text, Rules& r, Limits&) { r.tolerance = parseToleranceClass(text).value(); }},
        {"choices-within",
         Kind::percent,
         0,
         1000,
         "Further proposals may deviate by",
         "Choices besides the closest may deviate by this, or as much as the closest, % of pressure",
         {},
         [](const Rules& r, const Limits&) { return partText(r.most_choice_deviation); },
         [](const std::string& text, Rules& r, Limits&) { r.most_choice_deviation = numberIn(text) / 100; }},
        {"gap",
         Kind::percent,
         0,
         99,
         "Stop looking where less is to be gained than",
         "Stacks closer than the best by less than this are not looked for, nor anything once a stack is as "
         "close as "
         "that, % of pressure",
         {},
         [](const Rules&, const Limits& l) { return partText(l.gap); },
         [](const std::string& text, Rules&, Limits& l) { l.gap = numberIn(text) / 100; }},
        {"seconds",
         Kind::seconds,
         0,
         86400,
         "Search for at most",
         "Time limit of the search",
         {},
         [](const Rules&, const Limits& l) { return numberText(l.seconds); },
         [](const std::string& text, Rules&, Limits& l) { l.seconds = numberIn(text); }},
        {"proposals",
         Kind::count,
         1,
         1000,
         "",
         "Most proposals shown",
         {},
         [](const Rules&, const Limits& l) { return std::to_string(l.proposals); },
         [](const std::string& text, Rules&, Limits& l) { l.proposals = countIn(text); }},
    };
}

/// "large or small", "normal, fine or precision".
std::string oneOf(const std::vector<std::string>& choices) {
    std::string text;
    for (const std::string& choice : choices)
        text += (text.empty() ? "" : choice == choices.back() ? " or " : ", ") + choice;
    return text;
}

[[noreturn]] void refuse(const SearchRule& rule, const std::string& right, const std::string& text) {
    throw InputError(std::string("--") + rule.name + " must be " + right + ", not '" + text.substr(0, 40) +
                     "'");
}

} // namespace

std::string SearchRule::key() const {
    std::string key = name;
    std::replace(key.begin(), key.end(), '-', '_');
    return key;
}

std::string SearchRule::rangeText() const {
    if (kind == Kind::choice) return ": " + oneOf(choices);
    if (kind == Kind::yes_no || kind == Kind::words || kind == Kind::rows || kind == Kind::curve) return {};
    return " (" + numberText(least) + " to " + numberText(most) + ")";
}

std::string SearchRule::standard() const {
    return text({}, {});
}

const std::vector<SearchRule>& searchRules() {
    static const std::vector<SearchRule> rules = declared(); // immutable
    return rules;
}

void setRule(const SearchRule& rule, const std::string& text, SubstituteRules& rules, SearchLimits& limits) {
    switch (rule.kind) {
    case Kind::yes_no:
        if (text != "yes" && text != "no") refuse(rule, "yes or no", text);
        break;
    case Kind::words:
    case Kind::rows:
    case Kind::curve:
        break;
    case Kind::choice:
        if (std::find(rule.choices.begin(), rule.choices.end(), text) == rule.choices.end())
            refuse(rule, oneOf(rule.choices), text);
        break;
    case Kind::millimetres:
    case Kind::count:
    case Kind::number:
    case Kind::percent:
    case Kind::seconds: {
        double value = 0;
        const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
        // Not 1e3, nor 010, which some take for 8.
        const std::size_t sign = text.starts_with('-') ? 1 : 0;
        const bool plain = text.find_first_not_of("0123456789", sign) == std::string::npos &&
                           (text.size() == sign + 1 || text[std::min(sign, text.size() - 1)] != '0');
        const bool whole = rule.kind != Kind::count || (plain && text.size() > sign);
        const double micrometres = value * 1000;
        const bool exact =
            rule.kind != Kind::millimetres || std::abs(micrometres - std::round(micrometres)) < 1e-6;
        if (read.ec != std::errc() || read.ptr != text.data() + text.size() || !whole || !exact ||
            !(value >= rule.least && value <= rule.most)) {
            const char* unit = rule.kind == Kind::millimetres ? " mm"
                               : rule.kind == Kind::percent   ? " %"
                               : rule.kind == Kind::seconds   ? " s"
                                                              : "";
            refuse(rule,
                   std::string(rule.kind == Kind::count ? "a whole number" : "a number") + " from " +
                       numberText(rule.least) + " to " + numberText(rule.most) + unit +
                       (exact ? "" : ", in whole micrometres"),
                   text);
        }
        break;
    }
    }
    rule.put(text, rules, limits);
}

} // namespace shimledger::planner
