// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <locale.h>

namespace shimledger::services {

/// While it lives, this thread writes numbers with a decimal point: libxlsxwriter uses plain sprintf, and
/// under a comma locale its files could not be read.
class PlainNumbers {
public:
    PlainNumbers() : m_plain(newlocale(LC_NUMERIC_MASK, "C", nullptr)), m_before(uselocale(m_plain)) {}
    ~PlainNumbers() {
        uselocale(m_before);
        freelocale(m_plain);
    }
    PlainNumbers(const PlainNumbers&) = delete;
    PlainNumbers& operator=(const PlainNumbers&) = delete;

private:
    locale_t m_plain;
    locale_t m_before;
};

} // namespace shimledger::services
