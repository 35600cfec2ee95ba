// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/demand_book.h"
#include "app/services/order_rhythm.h"
#include "app/services/reorder.h"
#include "app/services/usable_offers.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace shimledger::services {

/// What one part needs, if it is bought from one supplier.
struct PartNeed {
    ReorderLine line;                            ///< without pack and price
    std::string supplier;                        ///< whose lead time the reorder point rests on; may be empty
    std::vector<inventory::SupplierPart> offers; ///< that can be used, all in one currency
    std::string currency;                        ///< empty: nobody offers it
    std::optional<std::int64_t> most;            ///< to buy now, by shelf life
    bool held_back = false;                      ///< by `most`: more would have been bought
    std::int64_t asked = 0;                      ///< before it was rounded to whole packs
    std::int64_t room = 0;                       ///< pieces beyond `wanted` that would still be used in time
    bool kept = false;                           ///< in stock, by a reorder point; else bought for jobs alone
    bool low = false;       ///< kept, and at the reorder point or below, not counting what is on order
    bool can_wait = false;  ///< runs low, stops no job, and its supplier's day is still to come
    double jobs_a_week = 0; ///< that are expected to ask for it
    std::string why;        ///< the reason without its pack
};

/// The needs of all parts of a shop. `inputs` must outlive it.
class PartNeeds {
public:
    PartNeeds(const ReorderInputs& inputs, std::vector<std::string>& notes);

    /// Each part as bought from the supplier that it usually comes from, by part code; those that need
    /// nothing are there with wanted 0. Appends to `notes` what is wrong with a figure.
    [[nodiscard]] std::vector<PartNeed> all();
    /// The same part, bought from that supplier, which must be one of its offers'.
    [[nodiscard]] PartNeed from(const std::string& part, const std::string& supplier);
    [[nodiscard]] const std::map<std::string, OrderRhythm>& rhythms() const { return m_rhythms; }
    [[nodiscard]] const ReorderInputs& inputs() const { return m_inputs; }

private:
    struct Extra {
        std::int64_t now = 0, expected = 0;
        std::vector<std::string> why;
    };
    PartNeed need(const inventory::Part& part, const std::string& supplier,
                  std::vector<std::string>& notes) const;
    void addExtra(const ExtraDemand& extra);
    void fillLine(PartNeed& need, const inventory::Part& part) const;
    std::int64_t jobPieces(ReorderLine& line) const;
    std::int64_t stockPieces(PartNeed& need, const inventory::Part& part, std::int64_t wanted_by_jobs,
                             const inventory::SupplierPart* offer, std::string& lot_why) const;
    [[nodiscard]] std::string figures(const PartNeed& need) const;
    [[nodiscard]] std::string plainWords(const PartNeed& need, int lead_days) const;
    void noteNeverOrdered();
    void noteRetired();

    const ReorderInputs& m_inputs;
    std::vector<std::string>& m_notes;
    OfferBook m_book;
    DemandBook m_demand;
    std::map<std::string, OrderRhythm> m_rhythms;
    std::map<std::string, Extra> m_extra;
};

/// PartNeeds::all() for those who want no more.
[[nodiscard]] std::vector<PartNeed> partNeeds(const ReorderInputs& inputs, std::vector<std::string>& notes);

} // namespace shimledger::services
