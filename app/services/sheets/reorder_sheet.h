#pragma once

#include "app/services/reorder.h"
#include "app/services/sheets/paper_size.h"

#include <filesystem>

namespace shimledger::services {

/// Writes a summary and one sheet per supplier as .xlsx, with totals that follow the packs typed in. A file
/// of that name is replaced, once the new one is whole. Throws FileFault.
void writeReorderSheet(const ReorderPlan& plan, const std::filesystem::path& file,
                       PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
