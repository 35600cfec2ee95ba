#include "inventory/bin.h"

#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

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

Bin readBin(const Query& row) {
    return {row.text(0), row.text(1), row.integer(2), row.text(3)};
}

} // namespace

void BinList::add(const Bin& bin) {
    check(bin);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    if (findBinId(connection, bin.code))
        throw FieldError("bin", "bin " + inQuotes(bin.code) + " is there already");
    Query(connection, "INSERT INTO bins (code, cabinet, walking_order, note) VALUES (?1, ?2, ?3, ?4)",
          bin.code, bin.cabinet, bin.walking_order, bin.note)
        .run();
    transaction.commit();
}

void BinList::update(const Bin& bin) {
    check(bin);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    Query(connection, "UPDATE bins SET cabinet = ?2, walking_order = ?3, note = ?4 WHERE bin_id = ?1",
          binId(connection, bin.code), bin.cabinet, bin.walking_order, bin.note)
        .run();
    transaction.commit();
}

std::optional<Bin> BinList::find(std::string_view code) const {
    Query query(m_shop.connection(), "SELECT code, cabinet, walking_order, note FROM bins WHERE code = ?1",
                code);
    if (!query.next()) return std::nullopt;
    return readBin(query);
}

Bin BinList::get(std::string_view code) const {
    if (auto bin = find(code)) return *bin;
    throw FieldError("bin", "there is no bin " + inQuotes(code) + " in the shop file");
}

std::vector<Bin> BinList::list() const {
    std::vector<Bin> bins;
    Query query(m_shop.connection(),
                "SELECT code, cabinet, walking_order, note FROM bins ORDER BY walking_order, code");
    while (query.next()) bins.push_back(readBin(query));
    return bins;
}

} // namespace shimledger::inventory
