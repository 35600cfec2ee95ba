// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/calendar.h"
#include "inventory/shop_file.h"
#include "planner/units/length.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shimledger::services {

/// A row of a stack, as it is told to whoever gets the component back.
struct RecordRow {
    std::string text; ///< "4 x 24.0 x 0.12"
    std::string note; ///< found: "1 not used again: bent"; built: "in place of 4 x 24.0 x 0.10"
};

struct RecordStack {
    std::string title; ///< "Leg 1"
    std::vector<RecordRow> rows;
};

/// A valve as it was built.
struct RecordValve {
    std::string title;            ///< "compression, leg 1"
    std::string sizes;            ///< "compression valve, clamp 10.0 mm, ports 13.0 to 20.0 mm, bore 6.0 mm"
    std::vector<RecordRow> stack; ///< each of its legs alike; none: nothing was built in
    std::string heights;          ///< "0.69 mm high (0.691 as measured), 0.65 mm were wanted"
    std::string curves;           ///< against the target; a sentence
};

/// One part or place that was looked at.
struct RecordWear {
    std::string where;    ///< "leg 1"; empty: of no leg
    std::string what;     ///< "bushing 36.0 x 40.0 x 12.0", "chrome"
    std::string found;    ///< "50 % worn", "good"; "" where nothing was said
    std::string decision; ///< "renewed", "put off", "kept"
    std::string remark;
};

struct RecordPart {
    std::string what;
    std::int64_t quantity = 0;
    std::string unit; ///< "piece", "mm", "ml"
    bool used = false;
};

/// What is handed over with the component and kept: without drawers, part codes, prices, suppliers and the
/// shop's own notes.
struct JobRecord {
    std::string job;
    std::string customer;
    std::string component;
    std::string model; ///< its description, else its code
    int legs = 1;
    inventory::CalendarDate opened;
    std::optional<inventory::CalendarDate> built; ///< none: nothing has gone in yet
    std::optional<inventory::CalendarDate> ended; ///< none: at work, or from before that was kept
    std::string state;                            ///< "closed"; where the job is not, the record is not final
    inventory::UtcTime made;
    std::vector<RecordStack> found; ///< by valve and leg
    std::vector<RecordValve> valves;
    std::vector<RecordPart> parts; ///< that went in beside the discs
    std::vector<RecordWear> wear;
    std::vector<std::string> next_time; ///< what to look at, in sentences
    std::vector<std::string> cautions;
};

/// Of a job in any state. Throws InputError when there is no such job.
[[nodiscard]] JobRecord jobRecord(inventory::ShopFile& shop, std::string_view job);

} // namespace shimledger::services
