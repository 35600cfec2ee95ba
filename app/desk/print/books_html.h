// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/job_costs.h"
#include "app/services/job_record.h"
#include "app/services/stock_value.h"

#include <QString>

namespace shimledger::desk {

// What leaves with the customer and what the books want, on paper; everything of the shop file is escaped.

[[nodiscard]] QString jobRecordHtml(const services::JobRecord& record);
[[nodiscard]] QString stockValueHtml(const services::StockValue& value);

} // namespace shimledger::desk
