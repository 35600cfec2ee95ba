#include "inventory/supplier.h"

#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

namespace shimledger::inventory {

namespace {

void notBelowZero(std::string_view column, const std::string& what, std::optional<std::int64_t> value) {
    if (value && *value < 0) throw FieldError(column, what + " is below 0");
}

void check(const Supplier& supplier) {
    checkCode(supplier.name, "supplier name", "supplier");
    checkFreeText(supplier.note, "note", "note");
    const std::string of = " of supplier " + inQuotes(supplier.name);
    try {
        checkCurrency(supplier.currency);
    } catch (const InputError& error) {
        throw FieldError("currency", error.what());
    }
    notBelowZero("lead_time_days", "the lead time" + of, supplier.lead_time_days);
    notBelowZero("lead_time_spread_days", "the lead time's spread" + of, supplier.lead_time_spread_days);
    notBelowZero("minimum_order", "the minimum order" + of, supplier.minimum_order);
    notBelowZero("freight", "the freight" + of, supplier.freight);
}

Supplier readSupplier(const Query& row) {
    Supplier supplier;
    supplier.name = row.text(0);
    supplier.lead_time_days = row.smallInteger(1);
    supplier.currency = row.text(2);
    if (!row.isNull(3)) supplier.lead_time_spread_days = row.smallInteger(3);
    supplier.minimum_order = row.optionalInteger(4);
    supplier.freight = row.optionalInteger(5);
    supplier.note = row.text(6);
    return supplier;
}

std::vector<SupplierPart> readOffers(Query& query) {
    std::vector<SupplierPart> offers;
    while (query.next()) {
        offers.push_back({query.text(0), query.text(1), query.integer(2), query.integer(3), query.text(4),
                          query.optionalDate(5)});
    }
    return offers;
}

} // namespace

void SupplierList::add(const Supplier& supplier) {
    check(supplier);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    if (findSupplierId(connection, supplier.name)) {
        throw FieldError("supplier", "supplier " + inQuotes(supplier.name) + " is there already");
    }
    Query(connection,
          "INSERT INTO suppliers (name, lead_time_days, currency, lead_time_spread_days, minimum_order, "
          "freight, "
          "note) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
          supplier.name, supplier.lead_time_days, supplier.currency, supplier.lead_time_spread_days,
          supplier.minimum_order, supplier.freight, supplier.note)
        .run();
    transaction.commit();
}

std::optional<Supplier> SupplierList::find(std::string_view name) const {
    Query query(m_shop.connection(),
                "SELECT name, lead_time_days, currency, lead_time_spread_days, minimum_order, freight, note "
                "FROM suppliers WHERE name = ?1",
                name);
    if (!query.next()) return std::nullopt;
    return readSupplier(query);
}

std::vector<Supplier> SupplierList::list() const {
    std::vector<Supplier> suppliers;
    Query query(m_shop.connection(),
                "SELECT name, lead_time_days, currency, lead_time_spread_days, minimum_order, freight, note "
                "FROM suppliers ORDER BY name");
    while (query.next()) suppliers.push_back(readSupplier(query));
    return suppliers;
}

void SupplierList::addOffer(const SupplierPart& offer) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t supplier = supplierId(connection, offer.supplier);
    const std::int64_t part = partId(connection, offer.part);
    checkFreeText(offer.supplier_code, "supplier's code", "supplier_code");
    if (offer.pack_size < 1)
        throw FieldError("pack_size", "a pack of " + inQuotes(offer.part) + " must hold 1 or more");
    notBelowZero("pack_price", "the price of " + inQuotes(offer.part), offer.pack_price);
    if (Query(connection,
              "SELECT 1 FROM supplier_parts WHERE supplier_id = ?1 AND part_id = ?2 AND pack_size = ?3",
              supplier, part, offer.pack_size)
            .next()) {
        throw FieldError("part", "supplier " + inQuotes(offer.supplier) + " offers part " +
                                     inQuotes(offer.part) + " in packs of " +
                                     std::to_string(offer.pack_size) + " already");
    }
    Query(
        connection,
        "INSERT INTO supplier_parts (supplier_id, part_id, pack_size, pack_price, supplier_code, priced_on) "
        "VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        supplier, part, offer.pack_size, offer.pack_price, offer.supplier_code, offer.priced_on)
        .run();
    transaction.commit();
}

std::vector<SupplierPart> SupplierList::offers() const {
    Query query(m_shop.connection(),
                "SELECT s.name, p.code, o.pack_size, o.pack_price, o.supplier_code, o.priced_on "
                "FROM supplier_parts o JOIN suppliers s USING (supplier_id) JOIN parts p USING (part_id) "
                "ORDER BY s.name, p.code, o.pack_size");
    return readOffers(query);
}

std::vector<SupplierPart> SupplierList::offersOfPart(std::string_view part) const {
    Query query(m_shop.connection(),
                "SELECT s.name, p.code, o.pack_size, o.pack_price, o.supplier_code, o.priced_on "
                "FROM supplier_parts o JOIN suppliers s USING (supplier_id) JOIN parts p USING (part_id) "
                "WHERE o.part_id = ?1 ORDER BY s.name, o.pack_size",
                partId(m_shop.connection(), part));
    return readOffers(query);
}

} // namespace shimledger::inventory
