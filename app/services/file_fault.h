#pragma once

#include "inventory/inventory_error.h"

namespace shimledger::services {

using inventory::FileFault;

} // namespace shimledger::services
