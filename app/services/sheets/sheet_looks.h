// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/sheets/sheet_writer.h"

namespace shimledger::services {

/// Makes the format of a look; nullptr when memory is out.
[[nodiscard]] lxw_format* makeFormat(lxw_workbook* workbook, Look look);

} // namespace shimledger::services
