#pragma once

#include "app/services/count_sheet.h"
#include "app/services/sheets/paper_size.h"

#include <filesystem>

namespace shimledger::services {

/// Writes the sheet to be filled in by hand or on screen; saved as CSV it is read by readCountCsv. A file of
/// that name is replaced, once the new one is whole. Throws FileFault.
void writeCountSheet(const CountSheet& sheet, const std::filesystem::path& file,
                     PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
