// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string_view>

namespace shimledger::inventory {

/// Before a SELECT that may return millions of rows: inside of a transaction a server is then asked for some
/// thousands at a time, instead of for all at one go, which would be held in memory as a whole.
inline constexpr std::string_view many_rows = "/* many rows */ ";

/// One statement that a database holds ready, as its driver sees it. Used through Query alone, which knows
/// our types; a driver knows whole numbers, texts and NULL. Every call throws as shop_connection.h says.
class PreparedStatement {
public:
    enum class Kind { integer, text };

    PreparedStatement() = default;
    virtual ~PreparedStatement() = default;
    PreparedStatement(const PreparedStatement&) = delete;
    PreparedStatement& operator=(const PreparedStatement&) = delete;

    virtual void bind(int index, std::int64_t value) = 0; ///< index: 1 for ?1
    virtual void bind(int index, std::string_view value) = 0;
    virtual void bindNull(int index, Kind kind) = 0; ///< the kind that the value would have
    virtual bool step() = 0;                         ///< to the next row; false when there is none
    [[nodiscard]] virtual int changedRows() const = 0;
    /// Ready for the next run, with no values.
    virtual void reset() noexcept = 0;

    [[nodiscard]] virtual int columnCount() = 0;
    [[nodiscard]] virtual Kind kind(int column) = 0; ///< as its table says, also where it is NULL

    // Of the row that step() came to.
    [[nodiscard]] virtual bool isNull(int column) const = 0;
    [[nodiscard]] virtual std::int64_t integer(int column) const = 0;
    [[nodiscard]] virtual std::string_view text(int column) const = 0; ///< until the next step
};

} // namespace shimledger::inventory
