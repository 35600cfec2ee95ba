// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/storage/query.h"

#include "inventory/inventory_error.h"

#include <limits>
#include <stdexcept>

namespace shimledger::inventory {

Query::~Query() {
    m_connection.giveBack(m_sql, std::move(m_statement));
}

bool Query::next() {
    return m_statement->step();
}

void Query::run() {
    if (next())
        throw std::logic_error("a statement that should change something returned rows: " +
                               std::string(m_sql));
}

int Query::runCounting() {
    run();
    return m_statement->changedRows();
}

void Query::mustRow() {
    if (!next()) throw std::logic_error("a row that must exist is not there: " + std::string(m_sql));
}

bool Query::isNull(int column) const {
    return m_statement->isNull(column);
}

std::int64_t Query::integer(int column) const {
    if (isNull(column)) throw std::logic_error("an unexpected NULL came back from: " + std::string(m_sql));
    return m_statement->integer(column);
}

std::optional<std::int64_t> Query::optionalInteger(int column) const {
    if (isNull(column)) return std::nullopt;
    return integer(column);
}

int Query::smallInteger(int column) const {
    const std::int64_t value = integer(column);
    if (value < std::numeric_limits<int>::min() || value > std::numeric_limits<int>::max()) {
        throw ShopFileFault("the shop file " + m_connection.path().string() + " holds a number out of range");
    }
    return static_cast<int>(value);
}

std::string Query::text(int column) const {
    if (isNull(column)) throw std::logic_error("an unexpected NULL came back from: " + std::string(m_sql));
    return std::string(m_statement->text(column));
}

std::string Query::textOrEmpty(int column) const {
    return isNull(column) ? std::string() : text(column);
}

Length Query::length(int column) const {
    return Length::fromMicrometres(integer(column));
}

std::optional<Length> Query::optionalLength(int column) const {
    if (isNull(column)) return std::nullopt;
    return length(column);
}

CalendarDate Query::date(int column) const {
    return CalendarDate::parse(text(column));
}

std::optional<CalendarDate> Query::optionalDate(int column) const {
    if (isNull(column)) return std::nullopt;
    return date(column);
}

UtcTime Query::utc(int column) const {
    return UtcTime::parse(text(column));
}

void Query::appendAll(std::string& text) const {
    const int columns = m_statement->columnCount();
    for (int column = 0; column < columns; ++column) {
        if (isNull(column)) {
            text += '-';
            continue;
        }
        const std::string_view value = m_statement->text(column);
        text += std::to_string(value.size());
        text += ':';
        text += value;
    }
}

} // namespace shimledger::inventory
