// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/supplier.h"

#include "inventory/master/change_keeping.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

#include <algorithm>
#include <charconv>
#include <map>
#include <set>

namespace shimledger::inventory {

namespace {

void notBelowZero(std::string_view column, const std::string& what, std::optional<std::int64_t> value) {
    if (value && *value < 0) throw FieldError(column, what + " is below 0");
}

std::string nameOf(std::string_view supplier) {
    return "supplier " + inQuotes(supplier);
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
    supplier.retired = row.integer(7) != 0;
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
                           {},
                           query.integer(8) != 0};
        if (offers.empty() || offers.back().supplier != offer.supplier || offers.back().part != offer.part ||
            offers.back().pack_size != offer.pack_size) {
            offers.push_back(std::move(offer));
        }
        if (!query.isNull(6)) offers.back().breaks.push_back({query.integer(6), query.integer(7)});
    }
    return offers;
}

constexpr const char* live_offers = "o.retired = 0 AND s.retired = 0 AND p.retired = 0";

std::string offersWhere(const std::string& condition) {
    return std::string(
               "SELECT s.name, p.code, o.pack_size, o.pack_price, o.supplier_code, o.priced_on, "
               "b.from_packs, b.pack_price, o.retired FROM supplier_parts o JOIN suppliers s USING "
               "(supplier_id) "
               "JOIN parts p USING (part_id) LEFT JOIN price_breaks b ON b.supplier_id = o.supplier_id "
               "AND b.part_id = o.part_id AND b.pack_size = o.pack_size WHERE ") +
           condition + " ORDER BY s.name, p.code, o.pack_size, b.from_packs NULLS FIRST";
}

std::optional<SupplierPart> findOffer(ShopConnection& connection, std::string_view supplier,
                                      std::string_view part, std::int64_t pack_size) {
    static const std::string sql = offersWhere("s.name = ?1 AND p.code = ?2 AND o.pack_size = ?3");
    Query query(connection, sql, supplier, part, pack_size);
    std::vector<SupplierPart> found = readOffers(query);
    if (found.empty()) return std::nullopt;
    return std::move(found.front());
}

std::string packText(const SupplierPart& offer) {
    return "part " + inQuotes(offer.part) + " in packs of " + std::to_string(offer.pack_size);
}

std::string offerName(const SupplierPart& offer) {
    return "the offer of " + packText(offer) + " by " + nameOf(offer.supplier);
}

void checkOffer(const SupplierPart& offer) {
    checkFreeText(offer.supplier_code, "supplier's code", "supplier_code");
    if (offer.pack_size < 1)
        throw FieldError("pack_size", "a pack of " + inQuotes(offer.part) + " must hold 1 or more");
    notBelowZero("pack_price", "the price of " + inQuotes(offer.part), offer.pack_price);
}

void refuseTwice(const SupplierPart& offer) {
    std::set<std::int64_t> steps;
    for (const PriceBreak& step : offer.breaks) {
        if (!steps.insert(step.from_packs).second)
            throw FieldError("from_packs", "the price break of " + inQuotes(offer.part) + " at " +
                                               std::to_string(step.from_packs) + " packs is there already");
    }
}

/// Neither who offers nor what is offered may be retired.
void mayBeOffered(ShopConnection& connection, std::int64_t supplier, std::int64_t part,
                  const SupplierPart& offer) {
    if (Query(connection, "SELECT 1 FROM suppliers WHERE supplier_id = ?1 AND retired = 1", supplier).next())
        throw FieldError("supplier", nameOf(offer.supplier) + " is retired: bring it back first");
    if (Query(connection, "SELECT 1 FROM parts WHERE part_id = ?1 AND retired = 1", part).next())
        throw FieldError("part", "part " + inQuotes(offer.part) + " is retired: bring it back first");
}

bool hasPrices(ShopConnection& connection, std::int64_t supplier) {
    return Query(connection,
                 "SELECT 1 FROM supplier_parts WHERE supplier_id = ?1 UNION ALL "
                 "SELECT 1 FROM purchase_orders WHERE supplier_id = ?1 LIMIT 1",
                 supplier)
        .next();
}

MasterSubject subjectOf(const SupplierPart& offer) {
    MasterSubject about;
    about.kind = MasterKind::offer;
    about.supplier = offer.supplier;
    about.part = offer.part;
    about.pack_size = offer.pack_size;
    return about;
}

void addBreakDifferences(std::vector<MasterChange>& changes, const SupplierPart& before,
                         const SupplierPart& after) {
    std::map<std::int64_t, std::pair<std::string, std::string>> steps;
    for (const PriceBreak& step : before.breaks) steps[step.from_packs].first = moneyText(step.pack_price);
    for (const PriceBreak& step : after.breaks) steps[step.from_packs].second = moneyText(step.pack_price);
    for (const auto& [from_packs, prices] : steps) {
        if (prices.first == prices.second) continue;
        MasterChange change;
        change.about = subjectOf(after);
        change.field = price_break_field;
        change.item = std::to_string(from_packs);
        change.before = prices.first;
        change.after = prices.second;
        changes.push_back(std::move(change));
    }
}

} // namespace

PriceBreak parsePriceBreak(std::string_view text) {
    const auto equals = text.find('=');
    PriceBreak step;
    const std::string_view packs = text.substr(0, equals);
    const auto [stop, error] = std::from_chars(packs.data(), packs.data() + packs.size(), step.from_packs);
    if (equals == std::string_view::npos || error != std::errc() || stop != packs.data() + packs.size() ||
        packs.front() == '0' || step.from_packs < 0)
        throw InputError(inQuotes(text.substr(0, 60)) + " is not of the form PACKS=PRICE, such as 5=3.80");
    try {
        step.pack_price = parseMoney(text.substr(equals + 1));
    } catch (const InputError& problem) {
        throw InputError(inQuotes(text.substr(0, 60)) + ": " + problem.what());
    }
    return step;
}

void SupplierList::add(const Supplier& supplier) {
    check(supplier);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    if (const auto there = find(supplier.name)) {
        throw FieldError("supplier",
                         nameOf(supplier.name) + " is there already" + orBringBack(there->retired));
    }
    Query(connection,
          "INSERT INTO suppliers (name, lead_time_days, currency, lead_time_spread_days, minimum_order, "
          "freight, note, retired) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
          supplier.name, supplier.lead_time_days, supplier.currency, supplier.lead_time_spread_days,
          supplier.minimum_order, supplier.freight, supplier.note, supplier.retired ? 1 : 0)
        .run();
    transaction.commit();
}

std::vector<MasterChange> SupplierList::update(const Supplier& supplier,
                                               const std::optional<Supplier>& seen) {
    check(supplier);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t id = supplierId(connection, supplier.name);
    const Supplier before = get(supplier.name);
    mustBeAsSeen(nameOf(supplier.name), before, seen);
    MasterSubject about;
    about.kind = MasterKind::supplier;
    about.supplier = supplier.name;
    std::vector<MasterChange> changes = differences(about, before, supplier);
    if (changes.empty()) return changes;
    if (before.currency != supplier.currency && hasPrices(connection, id)) {
        throw FieldError("currency", nameOf(supplier.name) + " keeps its currency " + before.currency +
                                         ", as its prices are in it: retire it and add it anew");
    }
    Query(connection,
          "UPDATE suppliers SET lead_time_days = ?2, currency = ?3, lead_time_spread_days = ?4, "
          "minimum_order = ?5, freight = ?6, note = ?7, retired = ?8 WHERE supplier_id = ?1",
          id, supplier.lead_time_days, supplier.currency, supplier.lead_time_spread_days,
          supplier.minimum_order, supplier.freight, supplier.note, supplier.retired ? 1 : 0)
        .run();
    keepChanges(m_shop, changes);
    transaction.commit();
    return changes;
}

MasterChange SupplierList::setRetired(std::string_view name, bool retired) {
    WriteTransaction transaction(m_shop.connection());
    MasterChange change = update(markedRetired(get(name), retired, nameOf(name))).front();
    transaction.commit();
    return change;
}

std::optional<Supplier> SupplierList::find(std::string_view name) const {
    Query query(m_shop.connection(),
                "SELECT name, lead_time_days, currency, lead_time_spread_days, minimum_order, freight, note, "
                "retired FROM suppliers WHERE name = ?1",
                name);
    if (!query.next()) return std::nullopt;
    return readSupplier(query);
}

Supplier SupplierList::get(std::string_view name) const {
    if (auto supplier = find(name)) return *supplier;
    throw FieldError("supplier", "there is no " + nameOf(name) + " in the shop file");
}

std::vector<Supplier> SupplierList::list(Retired retired) const {
    std::vector<Supplier> suppliers;
    Query query(m_shop.connection(),
                "SELECT name, lead_time_days, currency, lead_time_spread_days, minimum_order, freight, note, "
                "retired FROM suppliers WHERE retired <= ?1 ORDER BY name",
                retired == Retired::included ? 1 : 0);
    while (query.next()) suppliers.push_back(readSupplier(query));
    return suppliers;
}

void SupplierList::addOffer(const SupplierPart& offer) {
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t supplier = supplierId(connection, offer.supplier);
    const std::int64_t part = partId(connection, offer.part);
    checkOffer(offer);
    mayBeOffered(connection, supplier, part, offer);
    if (const auto there = findOffer(connection, offer.supplier, offer.part, offer.pack_size)) {
        throw FieldError("part", nameOf(offer.supplier) + " offers " + packText(offer) + " already" +
                                     orBringBack(there->retired));
    }
    Query(
        connection,
        "INSERT INTO supplier_parts (supplier_id, part_id, pack_size, pack_price, supplier_code, priced_on, "
        "retired) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
        supplier, part, offer.pack_size, offer.pack_price, offer.supplier_code, offer.priced_on,
        offer.retired ? 1 : 0)
        .run();
    for (const PriceBreak& step : offer.breaks) {
        addPriceBreak(offer.supplier, offer.part, offer.pack_size, step);
    }
    transaction.commit();
}

std::vector<MasterChange> SupplierList::updateOffer(const SupplierPart& offer,
                                                    const std::optional<SupplierPart>& seen) {
    checkOffer(offer);
    refuseTwice(offer);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const SupplierPart before = getOffer(offer.supplier, offer.part, offer.pack_size);
    mustBeAsSeen(offerName(offer), before, seen);
    std::vector<MasterChange> changes = differences(subjectOf(offer), before, offer);
    addBreakDifferences(changes, before, offer);
    if (changes.empty()) return changes;
    const std::int64_t supplier = supplierId(connection, offer.supplier);
    const std::int64_t part = partId(connection, offer.part);
    if (before.retired && !offer.retired) mayBeOffered(connection, supplier, part, offer);
    Query(connection, "DELETE FROM price_breaks WHERE supplier_id = ?1 AND part_id = ?2 AND pack_size = ?3",
          supplier, part, offer.pack_size)
        .run();
    Query(connection,
          "UPDATE supplier_parts SET pack_price = ?4, supplier_code = ?5, priced_on = ?6, retired = ?7 "
          "WHERE supplier_id = ?1 AND part_id = ?2 AND pack_size = ?3",
          supplier, part, offer.pack_size, offer.pack_price, offer.supplier_code, offer.priced_on,
          offer.retired ? 1 : 0)
        .run();
    for (const PriceBreak& step : offer.breaks)
        addPriceBreak(offer.supplier, offer.part, offer.pack_size, step);
    keepChanges(m_shop, changes);
    transaction.commit();
    return changes;
}

MasterChange SupplierList::setOfferRetired(std::string_view supplier, std::string_view part,
                                           std::int64_t pack_size, bool retired) {
    WriteTransaction transaction(m_shop.connection());
    const SupplierPart offer = getOffer(supplier, part, pack_size);
    MasterChange change = updateOffer(markedRetired(offer, retired, offerName(offer))).front();
    transaction.commit();
    return change;
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

std::vector<SupplierPart> SupplierList::offers(Retired retired) const {
    static const std::string all = offersWhere("TRUE");
    static const std::string live = offersWhere(live_offers);
    Query query(m_shop.connection(), retired == Retired::included ? all : live);
    return readOffers(query);
}

std::vector<SupplierPart> SupplierList::offersOfPart(std::string_view part, Retired retired) const {
    static const std::string all = offersWhere("o.part_id = ?1");
    static const std::string live = offersWhere(std::string("o.part_id = ?1 AND ") + live_offers);
    Query query(m_shop.connection(), retired == Retired::included ? all : live,
                partId(m_shop.connection(), part));
    return readOffers(query);
}

SupplierPart SupplierList::getOffer(std::string_view supplier, std::string_view part,
                                    std::int64_t pack_size) const {
    ShopConnection& connection = m_shop.connection();
    static_cast<void>(supplierId(connection, supplier));
    static_cast<void>(partId(connection, part));
    if (auto offer = findOffer(connection, supplier, part, pack_size)) return *offer;
    std::string sizes;
    for (const SupplierPart& known : offersOfPart(part, Retired::included)) {
        if (known.supplier != supplier) continue;
        sizes += (sizes.empty() ? "" : ", ") + std::to_string(known.pack_size);
    }
    throw FieldError("pack_size",
                     nameOf(supplier) + " does not offer part " + inQuotes(part) + " in packs of " +
                         std::to_string(pack_size) +
                         (sizes.empty() ? ": it offers none of it" : ": it offers packs of " + sizes));
}

} // namespace shimledger::inventory
