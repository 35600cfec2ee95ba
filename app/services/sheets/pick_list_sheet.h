#pragma once

#include "app/services/pick_list.h"
#include "app/services/sheets/paper_size.h"

#include <filesystem>

namespace shimledger::services {

/// Writes the pick list and the build sheet as .xlsx. A file of that name is replaced, once the new one is
/// whole. Throws FileFault.
void writePickListSheet(const PickList& list, const std::filesystem::path& file,
                        PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
