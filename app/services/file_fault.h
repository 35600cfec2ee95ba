// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "inventory/inventory_error.h"

namespace shimledger::services {

using inventory::FileFault;

} // namespace shimledger::services
