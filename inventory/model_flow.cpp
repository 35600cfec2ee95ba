// SPDX-License-Identifier: GPL-3.0-or-later
#include "inventory/model_flow.h"

#include "inventory/master/change_keeping.h"
#include "inventory/master/field_column.h"
#include "inventory/storage/field_error.h"
#include "inventory/storage/lookup.h"
#include "inventory/storage/query.h"
#include "inventory/storage/quoted.h"
#include "inventory/storage/transaction.h"

#include <algorithm>
#include <charconv>

namespace shimledger::inventory {

namespace {

constexpr std::int64_t most_clicks = 200;
constexpr Length widest_bleed = Length::fromMicrometres(20'000);
constexpr Length thinnest_ring = Length::fromMicrometres(100); // between piston and shaft, across

std::string nameOf(const ModelFlow& flow) {
    return "valve " + inQuotes(flow.valve) + " of model " + inQuotes(flow.model);
}

AdjusterPlace placeOf(std::string_view text) {
    const std::size_t equals = text.find('=');
    AdjusterPlace place;
    const std::string_view click = text.substr(0, equals);
    const auto [end, error] = std::from_chars(click.data(), click.data() + click.size(), place.click);
    if (equals == std::string_view::npos || error != std::errc() || end != click.data() + click.size())
        throw InputError(inQuotes(text) + " is not a click and its bleed in mm, such as 4=0.8");
    place.bleed = Length::parseMillimetres(text.substr(equals + 1));
    if (place.click < 0 || place.click > most_clicks)
        throw InputError("click " + std::to_string(place.click) + " is out of range: give 0 to " +
                         std::to_string(most_clicks));
    if (place.bleed < Length() || place.bleed > widest_bleed)
        throw InputError("a bleed of " + place.bleed.text() + " mm is out of range: give 0 to 20 mm");
    return place;
}

/// All columns of the fields, in their order, behind model and valve.
const std::string& selectFlows() {
    static const std::string sql = [] {
        std::string columns;
        for (const MasterField<ModelFlow>& field : fieldsOf<ModelFlow>())
            columns += ", f." + columnOfField(field.name, field.content);
        return "SELECT m.code, f.valve" + columns +
               " FROM model_flows f JOIN component_models m USING (model_id) WHERE (?1 IS NULL OR m.code = "
               "?1) AND "
               "(?2 IS NULL OR f.valve = ?2) ORDER BY m.code, f.valve";
    }();
    return sql;
}

using Wanted = std::optional<std::string_view>;

std::vector<ModelFlow> readFlows(ShopConnection& connection, const Wanted& model, const Wanted& valve) {
    std::vector<ModelFlow> flows;
    Query query(connection, selectFlows(), model, valve);
    while (query.next()) {
        ModelFlow flow{query.text(0), query.text(1)};
        int column = 2;
        for (const MasterField<ModelFlow>& field : fieldsOf<ModelFlow>())
            field.read(flow, textOfColumn(query, column++, field.content));
        flows.push_back(std::move(flow));
    }
    return flows;
}

void bindColumn(ShopConnection& connection, std::int64_t model, const ModelFlow& flow,
                const MasterField<ModelFlow>& field) {
    const std::string text = field.text(flow);
    if (text.empty()) return;
    const std::string sql = "UPDATE model_flows SET " + columnOfField(field.name, field.content) +
                            " = ?3 WHERE model_id = ?1 AND valve = ?2";
    switch (field.content) {
    case FieldContent::millimetres:
        Query(connection, sql, model, flow.valve, Length::parseMillimetres(text)).run();
        break;
    case FieldContent::decimal:
        Query(connection, sql, model, flow.valve, Decimal::parse(text).thousandths()).run();
        break;
    case FieldContent::whole:
        Query(connection, sql, model, flow.valve, std::int64_t{std::stoll(text)}).run();
        break;
    default:
        Query(connection, sql, model, flow.valve, text).run();
    }
}

void insertFlow(ShopConnection& connection, std::int64_t model, const ModelFlow& flow) {
    Query(connection,
          "INSERT INTO model_flows (model_id, valve, stroke, driven_by, adjuster, fitted_to) VALUES (?1, ?2, "
          "'', '', "
          "'', '')",
          model, flow.valve)
        .run();
    for (const MasterField<ModelFlow>& field : fieldsOf<ModelFlow>())
        bindColumn(connection, model, flow, field);
}

/// The model's number.
std::int64_t mustHaveValve(ShopConnection& connection, const ModelFlow& flow) {
    const std::int64_t model = modelId(connection, flow.model);
    if (!Query(connection, "SELECT 1 FROM model_valves WHERE model_id = ?1 AND name = ?2", model, flow.valve)
             .next()) {
        throw FieldError("valve", "model " + inQuotes(flow.model) + " has no valve " + inQuotes(flow.valve) +
                                      ": give it the valve's sizes first");
    }
    return model;
}

std::vector<MasterChange> changesOf(const ModelFlow& before, const ModelFlow& after) {
    MasterSubject about;
    about.kind = MasterKind::model;
    about.model = after.model;
    std::vector<MasterChange> changes = differences(about, before, after);
    for (MasterChange& change : changes) change.item = after.valve;
    return changes;
}

void mustHaveAllOrNone(const std::string& who, std::initializer_list<std::pair<const char*, bool>> fields,
                       const char* what) {
    const auto given = [](const auto& field) { return field.second; };
    if (std::none_of(fields.begin(), fields.end(), given)) return;
    for (const auto& [field, is_given] : fields) {
        if (!is_given) throw FieldError(field, who + ": " + what);
    }
}

void checkAdjuster(const std::string& who, const ModelFlow& flow) {
    mustHaveAllOrNone(who,
                      {{"needle_seat_mm", flow.needle_seat.has_value()},
                       {"needle_cone_deg", flow.needle_cone_deg.has_value()},
                       {"needle_pitch_mm", flow.needle_pitch.has_value()},
                       {"needle_clicks_per_turn", flow.needle_clicks_per_turn.has_value()},
                       {"needle_clicks", flow.needle_clicks.has_value()}},
                      "a needle is told by its seat, cone, pitch, clicks per turn and clicks, all of them");
    const bool has_table = !flow.adjuster.empty();
    if (has_table && flow.hasNeedle())
        throw FieldError("adjuster", who + " has a table of clicks and a needle: give one of them");
    if (flow.bleed && (has_table || flow.hasNeedle()))
        throw FieldError("bleed_mm",
                         who + " has an adjuster, and its click says the bleed: leave the bleed out");
    if (!flow.click) return;
    if (!has_table && !flow.hasNeedle())
        throw FieldError("click", who + " has no adjuster: give the table of its clicks or its needle first");
    const std::int64_t least = has_table ? flow.adjuster.front().click : 0;
    const std::int64_t most = has_table ? flow.adjuster.back().click : *flow.needle_clicks;
    if (*flow.click < least || *flow.click > most) {
        throw FieldError("click", who + ": click " + std::to_string(*flow.click) +
                                      " is not on the adjuster, which has " + std::to_string(least) + " to " +
                                      std::to_string(most));
    }
}

} // namespace

bool ModelFlow::hasNeedle() const {
    return needle_seat && needle_cone_deg && needle_pitch && needle_clicks_per_turn && needle_clicks;
}

bool ModelFlow::saysNothing() const {
    return *this == ModelFlow{model, valve};
}

std::string_view strokeName(Stroke stroke) {
    return stroke == Stroke::compression ? "compression" : "rebound";
}

Stroke parseStroke(std::string_view text) {
    if (text == "compression") return Stroke::compression;
    if (text == "rebound") return Stroke::rebound;
    throw InputError(inQuotes(text) + " is no stroke: write compression or rebound");
}

std::string_view flowDriveName(FlowDrive drive) {
    return drive == FlowDrive::piston ? "piston" : "shaft";
}

FlowDrive parseFlowDrive(std::string_view text) {
    if (text == "piston") return FlowDrive::piston;
    if (text == "shaft") return FlowDrive::shaft;
    throw InputError(inQuotes(text) + " does not drive oil: write piston or shaft");
}

std::string adjusterText(const std::vector<AdjusterPlace>& places) {
    std::string text;
    for (const AdjusterPlace& place : places)
        text += (text.empty() ? "" : " ") + std::to_string(place.click) + "=" + place.bleed.text();
    return text;
}

std::vector<AdjusterPlace> parseAdjuster(std::string_view text) {
    std::vector<AdjusterPlace> places;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find(' '), text.size());
        if (end > 0) {
            places.push_back(placeOf(text.substr(0, end)));
            const AdjusterPlace& last = places.back();
            if (places.size() > 1 && last.click <= places[places.size() - 2].click)
                throw InputError("click " + std::to_string(last.click) +
                                 " must be more than the one before it");
            if (places.size() > 1 && last.bleed < places[places.size() - 2].bleed)
                throw InputError("the bleed of click " + std::to_string(last.click) +
                                 " is less than the one before it: clicks count out from closed");
        }
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    if (places.size() == 1) throw InputError("one click is no adjuster: give two or more");
    return places;
}

void checkModelFlow(const ModelFlow& flow) {
    const std::string who = nameOf(flow);
    if (flow.piston && flow.shaft && *flow.piston < *flow.shaft + thinnest_ring)
        throw FieldError("shaft_mm", who + " has a shaft of " + flow.shaft->text() + " mm in a piston of " +
                                         flow.piston->text() + " mm: it must be thinner, by 0.1 mm or more");
    mustHaveAllOrNone(who, {{"port_count", flow.port_count.has_value()}, {"port_mm", flow.port.has_value()}},
                      "round ports are told by their number and their diameter");
    if (flow.port && flow.port_area_mm2)
        throw FieldError("port_area_mm2", who + " has round ports and an area of ports: give one of them");
    mustHaveAllOrNone(who,
                      {{"oil_density_kg_m3", flow.oil_density_kg_m3.has_value()},
                       {"oil_40c_mm2_s", flow.oil_40c_mm2_s.has_value()},
                       {"oil_100c_mm2_s", flow.oil_100c_mm2_s.has_value()}},
                      "an oil is told by its density and its viscosities at 40 C and at 100 C, all three");
    if (flow.oil_100c_mm2_s && *flow.oil_100c_mm2_s >= *flow.oil_40c_mm2_s)
        throw FieldError("oil_100c_mm2_s", who + " has an oil that is no thinner at 100 C than at 40 C");
    checkAdjuster(who, flow);
    checkFreeText(flow.fitted_to, "fitted_to", "fitted_to");
}

void ModelFlows::add(const ModelFlow& flow) {
    checkModelFlow(flow);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t model = mustHaveValve(connection, flow);
    if (!get(flow.model, flow.valve).saysNothing())
        throw FieldError("valve", "the flow of " + nameOf(flow) + " is there already");
    if (!flow.saysNothing()) insertFlow(connection, model, flow);
    transaction.commit();
}

std::vector<MasterChange> ModelFlows::update(const ModelFlow& flow, const std::optional<ModelFlow>& seen) {
    checkModelFlow(flow);
    ShopConnection& connection = m_shop.connection();
    WriteTransaction transaction(connection);
    const std::int64_t model = mustHaveValve(connection, flow);
    const ModelFlow before = get(flow.model, flow.valve);
    mustBeAsSeen("the flow of " + nameOf(flow), before, seen);
    std::vector<MasterChange> changes = changesOf(before, flow);
    if (changes.empty()) return changes;
    Query(connection, "DELETE FROM model_flows WHERE model_id = ?1 AND valve = ?2", model, flow.valve).run();
    if (!flow.saysNothing()) insertFlow(connection, model, flow);
    keepChanges(m_shop, changes);
    transaction.commit();
    return changes;
}

ModelFlow ModelFlows::get(std::string_view model, std::string_view valve) const {
    std::vector<ModelFlow> flows = readFlows(m_shop.connection(), model, valve);
    return flows.empty() ? ModelFlow{std::string(model), std::string(valve)} : std::move(flows.front());
}

std::vector<ModelFlow> ModelFlows::list() const {
    return readFlows(m_shop.connection(), {}, {});
}

std::vector<MasterChange> ModelFlows::dropOfLostValves(std::string_view model) {
    ShopConnection& connection = m_shop.connection();
    const std::int64_t id = modelId(connection, model);
    std::vector<MasterChange> changes;
    for (const ModelFlow& flow : readFlows(connection, model, {})) {
        if (Query(connection, "SELECT 1 FROM model_valves WHERE model_id = ?1 AND name = ?2", id, flow.valve)
                .next())
            continue;
        const auto lost = changesOf(flow, {flow.model, flow.valve});
        changes.insert(changes.end(), lost.begin(), lost.end());
        Query(connection, "DELETE FROM model_flows WHERE model_id = ?1 AND valve = ?2", id, flow.valve).run();
    }
    return changes;
}

} // namespace shimledger::inventory
