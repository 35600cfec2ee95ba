// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/import/import_row.h"

#include "inventory/storage/field_error.h"
#include "inventory/storage/quoted.h"

#include <charconv>

namespace shimledger::inventory {

namespace {

constexpr std::size_t most_problems_kept = 10'000;
constexpr std::size_t most_bad_codes = 10'000; // of one column

std::int64_t parseWhole(std::string_view text) {
    while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
    while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error == std::errc::result_out_of_range) throw InputError(inQuotes(text) + " is out of range");
    if (error != std::errc() || end != text.data() + text.size()) {
        throw InputError(inQuotes(text) + " is not a whole number: write digits only, such as 12");
    }
    return value;
}

} // namespace

void addProblem(ImportReport& report, ImportProblem problem) {
    ++report.problem_count;
    if (report.problems.size() < most_problems_kept) report.problems.push_back(std::move(problem));
}

void BadCodes::add(std::string_view column, const std::string& code) {
    std::set<std::string>& codes = m_codes[std::string(column)];
    if (codes.size() < most_bad_codes) codes.insert(code);
}

bool BadCodes::contains(std::string_view column, const std::string& code) const {
    const std::string_view table = column == "to_bin" ? "bin" : column == "wanted_part" ? "part" : column;
    const auto found = m_codes.find(table);
    return found != m_codes.end() && found->second.contains(code);
}

std::optional<std::size_t> ImportHeader::place(std::string_view column) const {
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (names[i] == column) return i;
    }
    return std::nullopt;
}

const std::string& ImportRow::text(std::string_view column) const {
    static const std::string nothing;
    const auto place = m_header.place(column);
    return place ? m_record.cells.at(*place) : nothing;
}

std::string ImportRow::filled(std::string_view column) {
    const std::string& cell = text(column);
    if (cell.empty()) problem(column, "is empty, but needed here");
    return cell;
}

Length ImportRow::length(std::string_view column) {
    return read<Length>(column, Length::parseMillimetres).value_or(Length());
}

std::optional<Length> ImportRow::optionalLength(std::string_view column) {
    return has(column) ? read<Length>(column, Length::parseMillimetres) : std::nullopt;
}

std::int64_t ImportRow::whole(std::string_view column, std::int64_t least, std::int64_t greatest) {
    const std::optional<std::int64_t> value = read<std::int64_t>(column, parseWhole);
    if (!value) return least;
    if (*value < least || *value > greatest) {
        problem(column, std::to_string(*value) + " is out of range: give " + std::to_string(least) + " to " +
                            std::to_string(greatest));
        return least;
    }
    return *value;
}

std::optional<std::int64_t> ImportRow::optionalWhole(std::string_view column, std::int64_t least,
                                                     std::int64_t greatest) {
    if (!has(column)) return std::nullopt;
    return whole(column, least, greatest);
}

int ImportRow::small(std::string_view column, int least, int greatest) {
    return static_cast<int>(whole(column, least, greatest));
}

CalendarDate ImportRow::date(std::string_view column) {
    return read<CalendarDate>(column, CalendarDate::parse).value_or(CalendarDate());
}

std::optional<CalendarDate> ImportRow::optionalDate(std::string_view column) {
    return has(column) ? read<CalendarDate>(column, CalendarDate::parse) : std::nullopt;
}

UtcTime ImportRow::utc(std::string_view column) {
    return read<UtcTime>(column, UtcTime::parse).value_or(UtcTime());
}

Hundredths ImportRow::money(std::string_view column) {
    return read<Hundredths>(column, parseMoney).value_or(0);
}

std::optional<Hundredths> ImportRow::optionalMoney(std::string_view column) {
    return has(column) ? read<Hundredths>(column, parseMoney) : std::nullopt;
}

void ImportRow::problem(std::string_view column, const std::string& reason) {
    m_good = false;
    const auto place = m_header.place(column);
    addProblem(m_report, {m_header.file, m_record.line, place ? static_cast<int>(*place) + 1 : 0,
                          std::string(column), reason});
}

void ImportRow::attempt(const std::function<void()>& step) {
    try {
        step();
    } catch (const FieldError& error) {
        if (m_bad_codes.contains(error.column(), text(error.column()))) {
            m_good = false;
            ++m_report.unread_count;
            return;
        }
        problem(error.column(), error.what());
    } catch (const InputError& error) {
        problem({}, error.what());
    }
}

} // namespace shimledger::inventory
