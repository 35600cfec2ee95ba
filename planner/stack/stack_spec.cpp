// SPDX-License-Identifier: GPL-3.0-or-later
#include "planner/stack/stack_spec.h"

#include "planner/units/input_error.h"

#include <utility>

namespace shimledger::planner {

namespace {

constexpr int most_discs_in_a_row = 500;
constexpr Length thinnest = Length::fromMicrometres(10);
constexpr Length thickest = Length::fromMicrometres(10'000);
constexpr Length narrowest_ring = Length::fromMicrometres(500);
constexpr Length widest = Length::fromMicrometres(500'000);

void check(bool rule_holds, const std::string& sentence) {
    if (!rule_holds) throw InputError(sentence);
}

std::string named(const DiscRow& row, std::size_t index) {
    return "disc row " + std::to_string(index + 1) + " (" + std::to_string(row.count) + " x " +
           row.od.text() + " x " + row.thickness.text(2) + ")";
}

void checkMaterial(const Material& material, const std::string& where) {
    check(material.elastic_modulus_mpa >= 1000 && material.elastic_modulus_mpa <= 1'000'000,
          where + ": the elastic modulus must lie between 1000 and 1000000 MPa");
    check(material.poisson_ratio >= 0 && material.poisson_ratio <= 0.49,
          where + ": Poisson's ratio must lie between 0 and 0.49");
    check(material.tensile_strength_mpa > 0 && material.tensile_strength_mpa <= 100'000,
          where + ": the tensile strength must be positive");
}

void checkValve(const ValveGeometry& valve) {
    check(valve.shim_id > Length(), "the shim bore must be larger than 0");
    check(valve.clamp_od > valve.shim_id, "the clamp (" + valve.clamp_od.text() +
                                              " mm) must be larger than the shim bore (" +
                                              valve.shim_id.text() + " mm)");
    check(valve.clamp_od <= widest, "the clamp must not be larger than 500 mm");
    check(valve.port_inner_diameter >= Length(), "the port's inner diameter must not be negative");
    check(valve.port_outer_diameter > valve.port_inner_diameter,
          "the port's outer diameter (" + valve.port_outer_diameter.text() +
              " mm) must be larger than its inner diameter (" + valve.port_inner_diameter.text() + " mm)");
    check(valve.port_outer_diameter > valve.clamp_od,
          "the ports (out to " + valve.port_outer_diameter.text() + " mm) lie wholly under the clamp (" +
              valve.clamp_od.text() + " mm), so pressure could never lift the stack");
    check(valve.preload >= Length(), "the preload must not be negative");
    check(valve.preload <= Length::fromMicrometres(2000), "the preload must not exceed 2 mm");
    check(valve.preload == Length() || valve.seat_diameter.has_value(),
          "a preload needs a seat: give the seat diameter as well");
}

void checkRow(const ValveGeometry& valve, const DiscRow& row, std::size_t index) {
    const std::string where = named(row, index);
    check(row.count >= 1 && row.count <= most_discs_in_a_row,
          where + ": the count must lie between 1 and " + std::to_string(most_discs_in_a_row));
    check(row.thickness >= thinnest && row.thickness <= thickest,
          where + ": the thickness must lie between 0.01 and 10 mm");
    check(row.od >= valve.clamp_od, where + ": the OD must not be below the clamp (" + valve.clamp_od.text() +
                                        " mm), nothing would hold or bend it");
    check(row.od <= widest, where + ": the OD must not exceed 500 mm");
    check(!row.ring_id || *row.ring_id > valve.clamp_od,
          where + ": a ring's bore must be larger than the clamp (" + valve.clamp_od.text() +
              " mm); leave it out for a disc that reaches the shaft");
    check(!row.ring_id || *row.ring_id + narrowest_ring <= row.od,
          where + ": a ring's OD must exceed its bore by at least 0.5 mm");
    checkMaterial(row.material, where);
}

} // namespace

bool isRing(const ValveGeometry& valve, const DiscRow& row) {
    return row.ring_id.has_value() && *row.ring_id > valve.clamp_od;
}

StackSpec::StackSpec(ValveGeometry valve, std::vector<DiscRow> rows)
    : m_valve(valve), m_rows(std::move(rows)) {
    checkValve(m_valve);
    check(!m_rows.empty(), "a stack needs at least one disc");
    check(m_rows.size() <= 200, "a stack may have at most 200 rows");
    for (std::size_t i = 0; i < m_rows.size(); ++i) checkRow(m_valve, m_rows[i], i);

    const DiscRow& face = m_rows.front();
    check(!isRing(m_valve, face),
          named(face, 0) + ": the face disc must reach the clamp; a ring cannot come first");
    check(face.od >= m_valve.port_outer_diameter, named(face, 0) +
                                                      ": the face disc must cover the ports (out to " +
                                                      m_valve.port_outer_diameter.text() + " mm)");
    check(face.od >= m_valve.clamp_od + narrowest_ring,
          named(face, 0) + ": the face disc must be at least 0.5 mm larger than the clamp (" +
              m_valve.clamp_od.text() + " mm), or nothing can lift");
    if (m_valve.seat_diameter) {
        check(*m_valve.seat_diameter > m_valve.clamp_od && *m_valve.seat_diameter <= face.od,
              "the seat diameter (" + m_valve.seat_diameter->text() +
                  " mm) must lie between the clamp and the OD of the face disc (" + face.od.text() + " mm)");
    }
    check(discCount() <= 2000, "a stack may have at most 2000 discs");
}

Length StackSpec::height() const {
    Length sum;
    for (const DiscRow& row : m_rows) {
        if (!isRing(m_valve, row)) sum += row.count * row.thickness;
    }
    return sum;
}

int StackSpec::discCount() const {
    int sum = 0;
    for (const DiscRow& row : m_rows) sum += row.count;
    return sum;
}

} // namespace shimledger::planner
