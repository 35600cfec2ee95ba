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

/// One row for each step of each offer; an offer without breaks has one row.
std::vector<SupplierPart> readOffers(Query& query) {
    std::vector<SupplierPart> offers;
    while (query.next()) {
        SupplierPart offer{query.text(0),
                           query.text(1),
                           query.integer(2),
                           query.integer(3),
                           query.text(4),
                           query.optionalDate(5),
                           {}};
        if (offers.empty() || offers.back().supplier != offer.supplier || offers.back().part != offer.part ||
            offers.back().pack_size != offer.pack_size) {
            offers.push_back(std::move(offer));
        }
        if (!query.isNull(6)) offers.back().breaks.push_back({query.integer(6), query.integer(7)});
    }
    return offers;
}

std::string offersWhere(const char* condition) {
    return std::string(
               "SELECT s.name, p.code, o.pack_size, o.pack_price, o.supplier_code, o.priced_on, "
               "b.from_packs, b.pack_price FROM supplier_parts o JOIN suppliers s USING (supplier_id) "
               "JOIN parts p USING (part_id) LEFT JOIN price_breaks b ON b.supplier_id = o.supplier_id "
               "AND b.part_id = o.part_id AND b.pack_size = o.pack_size WHERE ") +
           condition + " ORDER BY s.name, p.code, o.pack_size, b.from_packs";
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
    for (const PriceBreak& step : offer.breaks) {
        addPriceBreak(offer.supplier, offer.part, offer.pack_size, step);
    }
    transaction.commit();
}

void SupplierList::addPriceBreak(std::string_view supplier, std::string_view part, std::int64_t pack_size,
                                 const PriceBreak& step) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t supplier_id = supplierId(connection, supplier);
    const std::int64_t part_id = partId(connection, part);
    const std::string of =
        "the price break of " + inQuotes(part) + " at " + std::to_string(step.from_packs) + " packs";
    Query offer(
        connection,
        "SELECT pack_price FROM supplier_parts WHERE supplier_id = ?1 AND part_id = ?2 AND pack_size = ?3",
        supplier_id, part_id, pack_size);
    if (!offer.next()) {
        throw FieldError("pack_size", "supplier " + inQuotes(supplier) + " does not offer part " +
                                          inQuotes(part) + " in packs of " + std::to_string(pack_size));
    }
    if (step.from_packs < 2 || step.from_packs > 1'000'000) {
        throw FieldError("from_packs", of + " must begin at 2 to 1000000 packs");
    }
    if (step.pack_price < 1) throw FieldError("pack_price", of + " must have a price above 0");
    if (offer.integer(0) < step.pack_price ||
        Query(connection,
              "SELECT 1 FROM price_breaks WHERE supplier_id = ?1 AND part_id = ?2 AND pack_size = ?3 AND "
              "(from_packs = ?4 OR (from_packs < ?4) = (pack_price < ?5) AND pack_price <> ?5)",
              supplier_id, part_id, pack_size, step.from_packs, step.pack_price)
            .next()) {
        throw FieldError("pack_price", of + " must not be dearer than for fewer packs, nor be there already");
    }
    Query(connection,
          "INSERT INTO price_breaks (supplier_id, part_id, pack_size, from_packs, pack_price) "
          "VALUES (?1, ?2, ?3, ?4, ?5)",
          supplier_id, part_id, pack_size, step.from_packs, step.pack_price)
        .run();
    transaction.commit();
}

std::vector<SupplierPart> SupplierList::offers() const {
    static const std::string sql = offersWhere("TRUE");
    Query query(m_shop.connection(), sql);
    return readOffers(query);
}

std::vector<SupplierPart> SupplierList::offersOfPart(std::string_view part) const {
    static const std::string sql = offersWhere("o.part_id = ?1");
    Query query(m_shop.connection(), sql, partId(m_shop.connection(), part));
    return readOffers(query);
}

} // namespace shimledger::inventory
