#pragma once

#include "app/services/sheets/paper_size.h"
#include "app/services/strip_form.h"

#include <filesystem>

namespace shimledger::services {

/// Writes the form: one page a leg with rows to fill in, one page for the inspection. A file of that name is
/// replaced, once the new one is whole. Throws FileFault.
void writeStripFormSheet(const StripForm& form, const std::filesystem::path& file,
                         PaperSize paper = PaperSize::a4);

} // namespace shimledger::services
