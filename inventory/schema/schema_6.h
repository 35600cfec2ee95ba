// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace shimledger::inventory {

/// What the oil meets in each valve of a component model, as far as anybody has measured it, and when a job
/// ended. Numbers that are no lengths or counts are thousandths of the unit that their column names
/// (_thousandths).
inline constexpr const char* schema_6[] = {
    "ALTER TABLE jobs ADD COLUMN ended_utc TEXT CHECK (length(ended_utc) = 20)", // NULL: at work, or from
                                                                                 // before
    R"(CREATE TABLE model_flows (
        model_id INTEGER NOT NULL REFERENCES component_models,
        valve TEXT NOT NULL CHECK (valve <> ''),
        stroke TEXT NOT NULL CHECK (stroke IN ('', 'compression', 'rebound')),
        driven_by TEXT NOT NULL CHECK (driven_by IN ('', 'piston', 'shaft')),
        piston_um INTEGER CHECK (piston_um > 0),
        shaft_um INTEGER CHECK (shaft_um > 0),
        port_count INTEGER CHECK (port_count > 0),
        port_um INTEGER CHECK (port_um > 0),
        port_area_mm2_thousandths INTEGER CHECK (port_area_mm2_thousandths > 0),
        open_share_thousandths INTEGER CHECK (open_share_thousandths BETWEEN 10 AND 1000),
        bleed_um INTEGER CHECK (bleed_um >= 0),
        adjuster TEXT NOT NULL,
        needle_seat_um INTEGER CHECK (needle_seat_um > 0),
        needle_cone_deg_thousandths INTEGER CHECK (needle_cone_deg_thousandths > 0),
        needle_pitch_um INTEGER CHECK (needle_pitch_um > 0),
        needle_clicks_per_turn INTEGER CHECK (needle_clicks_per_turn > 0),
        needle_clicks INTEGER CHECK (needle_clicks > 0),
        click INTEGER CHECK (click >= 0),
        oil_density_kg_m3_thousandths INTEGER CHECK (oil_density_kg_m3_thousandths > 0),
        oil_40c_mm2_s_thousandths INTEGER CHECK (oil_40c_mm2_s_thousandths > 0),
        oil_100c_mm2_s_thousandths INTEGER CHECK (oil_100c_mm2_s_thousandths > 0),
        temperature_c_thousandths INTEGER,
        backing_mpa_thousandths INTEGER CHECK (backing_mpa_thousandths >= 0),
        port_discharge_thousandths INTEGER CHECK (port_discharge_thousandths BETWEEN 100 AND 1000),
        curtain_discharge_thousandths INTEGER CHECK (curtain_discharge_thousandths BETWEEN 100 AND 1000),
        bleed_discharge_thousandths INTEGER CHECK (bleed_discharge_thousandths BETWEEN 100 AND 1000),
        fitted_to TEXT NOT NULL,
        PRIMARY KEY (model_id, valve)) STRICT, WITHOUT ROWID)"};

} // namespace shimledger::inventory
