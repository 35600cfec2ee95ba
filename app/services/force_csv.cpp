// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/force_csv.h"

#include "inventory/csv_reader.h"
#include "planner/units/input_error.h"

#include <algorithm>
#include <charconv>
#include <string>

namespace shimledger::services {

namespace {

using inventory::CsvReader;
using inventory::CsvRecord;

constexpr double greatest_speed_m_s = 20;
constexpr double greatest_force_n = 1e6;
constexpr std::size_t most_readings = 10'000;

std::size_t columnOf(const CsvRecord& header, const char* name) {
    const auto found = std::find(header.cells.begin(), header.cells.end(), name);
    if (found == header.cells.end())
        throw InputError(std::string("the column '") + name +
                         "' is missing: the header must be speed_m_s,force_n");
    return static_cast<std::size_t>(found - header.cells.begin());
}

double figureIn(const CsvRecord& record, std::size_t column, const char* name, double greatest) {
    const std::string where = "line " + std::to_string(record.line) + ": ";
    if (column >= record.cells.size()) throw InputError(where + "there is no " + name);
    const std::string& text = record.cells[column];
    double value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size())
        throw InputError(where + "'" + text.substr(0, 40) + "' is no number for " + name);
    if (!(value > 0 && value <= greatest))
        throw InputError(where + name + " must lie above 0 and at most at " +
                         std::to_string(static_cast<long>(greatest)) +
                         ": one direction of the shaft at a time");
    return value;
}

} // namespace

std::vector<planner::MeasuredForce> readForceCsv(std::istream& csv) {
    CsvReader reader(csv);
    CsvRecord record;
    if (!reader.next(record) || !record.fault.empty())
        throw InputError("the header line speed_m_s,force_n is missing or damaged");
    const std::size_t speed = columnOf(record, "speed_m_s"), force = columnOf(record, "force_n");
    std::vector<planner::MeasuredForce> readings;
    while (reader.next(record)) {
        if (!record.fault.empty())
            throw InputError("line " + std::to_string(record.line) + ": " + record.fault);
        if (readings.size() == most_readings)
            throw InputError("there are more than " + std::to_string(most_readings) + " readings");
        readings.push_back({figureIn(record, speed, "speed_m_s", greatest_speed_m_s),
                            figureIn(record, force, "force_n", greatest_force_n)});
    }
    return readings;
}

} // namespace shimledger::services
