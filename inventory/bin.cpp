// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/bin.h"

#include "inventory/master/change_keeping.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

#include <charconv>

namespace shimledger::inventory {

namespace {

void check(const Bin& bin) {
    checkCode(bin.code, "bin code", "bin");
    checkFreeText(bin.cabinet, "cabinet", "cabinet");
    checkFreeText(bin.note, "note", "note");
    if (bin.walking_order < 0) {
        throw FieldError("walking_order", "bin " + inQuotes(bin.code) + " has a walking order below 0");
    }
}

std::string nameOf(std::string_view code) {
    return "bin " + inQuotes(code);
}

/// What stands before the number that a code ends in; the digits of the number.
struct NumberedCode {
    std::string_view words;
    std::string_view digits;

    explicit NumberedCode(std::string_view code) {
        const std::size_t last = code.find_last_not_of("0123456789");
        const std::size_t begin = last == std::string_view::npos ? 0 : last + 1;
        words = code.substr(0, begin);
        digits = code.substr(begin);
    }
    [[nodiscard]] std::int64_t number() const {
        std::int64_t value = 0;
        std::from_chars(digits.data(), digits.data() + digits.size(), value);
        return value;
    }
};

Bin readBin(const Query& row) {
    return {row.text(0), row.text(1), row.integer(2), row.text(3), row.integer(4) != 0};
}

} // namespace

std::string nextBinCode(std::string_view code) {
    const NumberedCode numbered(code);
    if (numbered.digits.empty())
        throw FieldError("bin", "the drawer " + inQuotes(code) +
                                    " ends in no number that could be counted on: write one such as A01");
    std::string digits(numbered.digits);
    std::size_t place = digits.size();
    while (place > 0 && digits[place - 1] == '9') digits[--place] = '0';
    if (place == 0)
        digits.insert(0, "1");
    else
        ++digits[place - 1];
    return std::string(numbered.words) + digits;
}

std::vector<std::string> binSeries(std::string_view text) {
    constexpr std::int64_t most_bins = 1000;
    constexpr std::size_t most_digits = 9;
    const std::size_t dots = text.find("..");
    if (dots == std::string_view::npos) return {std::string(text)};
    const NumberedCode first(text.substr(0, dots));
    const NumberedCode last(text.substr(dots + 2));
    const auto refuse = [&](const std::string& why) {
        throw FieldError("bin", inQuotes(text) + " is no series of bins: " + why);
    };
    if (first.digits.empty() || last.digits.empty() || first.digits.size() > most_digits ||
        last.digits.size() > most_digits) {
        refuse("both ends must end in a number, as in A01..A52");
    }
    if (first.words != last.words)
        refuse("its ends may differ in the number alone, as in A01..A52, not in " + inQuotes(first.words) +
               " and " + inQuotes(last.words));
    // A1..A52 and A01..A52, but not A01..A5: nobody can tell whether A05 is meant.
    if (last.digits.size() < first.digits.size() ||
        (last.digits.size() > first.digits.size() && first.digits.front() == '0')) {
        refuse("write both numbers with as many digits, as in A01..A52");
    }
    if (last.number() < first.number())
        refuse("it goes down: write " + std::string(text.substr(dots + 2)) + ".." +
               std::string(text.substr(0, dots)));
    if (last.number() - first.number() >= most_bins)
        refuse("it has " + std::to_string(last.number() - first.number() + 1) + " bins, at most " +
               std::to_string(most_bins) + " are made at a time");
    std::vector<std::string> codes;
    for (std::int64_t number = first.number(); number <= last.number(); ++number) {
        std::string digits = std::to_string(number);
        if (digits.size() < first.digits.size()) digits.insert(0, first.digits.size() - digits.size(), '0');
        codes.push_back(std::string(first.words) + digits);
    }
    return codes;
}

void BinList::add(const Bin& bin) {
    check(bin);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    if (const auto there = find(bin.code))
        throw FieldError("bin", nameOf(bin.code) + " is there already" + orBringBack(there->retired));
    Query(connection,
          "INSERT INTO bins (code, cabinet, walking_order, note, retired) VALUES (?1, ?2, ?3, ?4, ?5)",
          bin.code, bin.cabinet, bin.walking_order, bin.note, bin.retired ? 1 : 0)
        .run();
    transaction.commit();
}

std::vector<MasterChange> BinList::update(const Bin& bin, const std::optional<Bin>& seen) {
    check(bin);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const Bin before = get(bin.code);
    mustBeAsSeen(nameOf(bin.code), before, seen);
    MasterSubject about;
    about.kind = MasterKind::bin;
    about.bin = bin.code;
    std::vector<MasterChange> changes = differences(about, before, bin);
    if (changes.empty()) return changes;
    Query(connection,
          "UPDATE bins SET cabinet = ?2, walking_order = ?3, note = ?4, retired = ?5 WHERE bin_id = ?1",
          binId(connection, bin.code), bin.cabinet, bin.walking_order, bin.note, bin.retired ? 1 : 0)
        .run();
    keepChanges(m_shop, changes);
    transaction.commit();
    return changes;
}

MasterChange BinList::setRetired(std::string_view code, bool retired) {
    WriteTransaction transaction(m_shop.connection());
    MasterChange change = update(markedRetired(get(code), retired, nameOf(code))).front();
    transaction.commit();
    return change;
}

std::optional<Bin> BinList::find(std::string_view code) const {
    Query query(m_shop.connection(),
                "SELECT code, cabinet, walking_order, note, retired FROM bins WHERE code = ?1", code);
    if (!query.next()) return std::nullopt;
    return readBin(query);
}

Bin BinList::get(std::string_view code) const {
    if (auto bin = find(code)) return *bin;
    throw FieldError("bin", "there is no bin " + inQuotes(code) + " in the shop file");
}

std::vector<Bin> BinList::list(Retired retired) const {
    std::vector<Bin> bins;
    Query query(m_shop.connection(),
                "SELECT code, cabinet, walking_order, note, retired FROM bins WHERE retired <= ?1 "
                "ORDER BY walking_order, code",
                retired == Retired::included ? 1 : 0);
    while (query.next()) bins.push_back(readBin(query));
    return bins;
}

} // namespace shimledger::inventory
