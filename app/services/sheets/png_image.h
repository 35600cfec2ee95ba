// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/services/bin_labels.h"

#include <cstddef>
#include <vector>

namespace shimledger::services {

/// The mark as a PNG (ISO/IEC 15948), 8-bit grey, with its quiet zone of four modules, each module `pixels`
/// wide.
[[nodiscard]] std::vector<unsigned char> markImage(const QrMark& mark, std::size_t pixels = 8);

} // namespace shimledger::services
