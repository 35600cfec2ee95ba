// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/decimal.h"
#include "inventory/master_changes.h"
#include "inventory/retired.h"
#include "inventory/shop_file.h"
#include "planner/units/length.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::inventory {

enum class Stroke { compression, rebound };
/// What drives the oil through a valve: the ring between piston and shaft, or the shaft that dips in.
enum class FlowDrive { piston, shaft };

/// One place of an adjuster, counted out from closed, with the round bleed that it leaves.
struct AdjusterPlace {
    std::int64_t click = 0;
    Length bleed;

    bool operator==(const AdjusterPlace&) const = default;
};

/// What the oil meets in one valve of a component model beside the stack. What nobody has measured is empty;
/// fields and their ranges are declared in master_fields.cpp.
struct ModelFlow {
    std::string model, valve;
    std::optional<Stroke> stroke{}; ///< empty: as the valve's name says
    std::optional<FlowDrive> driven_by{};
    std::optional<Length> piston{}, shaft{};
    std::optional<std::int64_t> port_count{}; ///< round ports ...
    std::optional<Length> port{};
    std::optional<Decimal> port_area_mm2{}; ///< ... or the area of them all
    std::optional<Decimal> open_share{};
    std::optional<Length> bleed{};
    std::vector<AdjusterPlace> adjuster{}; ///< measured; or a needle:
    std::optional<Length> needle_seat{};
    std::optional<Decimal> needle_cone_deg{};
    std::optional<Length> needle_pitch{};
    std::optional<std::int64_t> needle_clicks_per_turn{}, needle_clicks{};
    std::optional<std::int64_t> click{}; ///< where the adjuster stands
    std::optional<Decimal> oil_density_kg_m3{}, oil_40c_mm2_s{}, oil_100c_mm2_s{};
    std::optional<Decimal> temperature_c{};
    std::optional<Decimal> backing_mpa{}; ///< gauge pressure of the gas, or what a base valve holds
    std::optional<Length> working_lift{}; ///< of the face shim's edge, up to which curves are compared
    std::optional<Decimal> port_discharge{}, curtain_discharge{}, bleed_discharge{};
    std::string fitted_to{}; ///< the test bench's readings that figures were fitted to, and how well

    bool operator==(const ModelFlow&) const = default;
    [[nodiscard]] bool hasNeedle() const;
    [[nodiscard]] bool saysNothing() const;
};

[[nodiscard]] std::string_view strokeName(Stroke stroke);
[[nodiscard]] Stroke parseStroke(std::string_view text);
[[nodiscard]] std::string_view flowDriveName(FlowDrive drive);
[[nodiscard]] FlowDrive parseFlowDrive(std::string_view text);
/// "0=0.0 4=0.8 8=1.2"
[[nodiscard]] std::string adjusterText(const std::vector<AdjusterPlace>& places);
[[nodiscard]] std::vector<AdjusterPlace> parseAdjuster(std::string_view text);

/// Throws InputError that names the field: figures that contradict one another, or of which a part is
/// missing.
void checkModelFlow(const ModelFlow& flow);

/// The ShopFile must outlive it.
class ModelFlows {
public:
    explicit ModelFlows(ShopFile& shop) : m_shop(shop) {}

    /// For a model that is being made, as update() keeps what it changes. Throws InputError: no such model or
    /// valve, a flow that is there already.
    void add(const ModelFlow& flow);
    /// Changes what is said of the valve's flow, and keeps what it changed, which it returns (nothing: it was
    /// so already). Throws InputError: no such model or valve, or, with `seen`, somebody else has changed it
    /// since.
    std::vector<MasterChange> update(const ModelFlow& flow, const std::optional<ModelFlow>& seen = {});
    /// Blank where nobody has said anything; `valve` need not be one of the model's.
    [[nodiscard]] ModelFlow get(std::string_view model, std::string_view valve) const;
    [[nodiscard]] std::vector<ModelFlow> list() const; ///< by model and valve, those that say something
    /// What goes with valves that the model has no more; the changes are for the caller to keep.
    [[nodiscard]] std::vector<MasterChange> dropOfLostValves(std::string_view model);

private:
    ShopFile& m_shop;
};

} // namespace shimledger::inventory
