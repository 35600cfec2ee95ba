#pragma once

#include "app/services/bin_labels.h"
#include "app/services/sheets/paper_size.h"
#include "inventory/calendar.h"

#include <filesystem>

namespace shimledger::services {

/// Writes the labels, three beside each other, ready to be printed and cut. A file of that name is replaced,
/// once the new one is whole. Throws FileFault.
void writeBinLabelSheet(const std::vector<BinLabel>& labels, inventory::UtcTime made,
                        const std::filesystem::path& file, PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
