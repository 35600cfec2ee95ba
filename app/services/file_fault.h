#pragma once

#include <stdexcept>
#include <string>

namespace shimledger::services {

/// A file that the disk does not take or give: full, no such folder, not allowed. One sentence fit to show;
/// a file that was there before is unharmed. The command ends with exit code 1.
class FileFault : public std::runtime_error {
public:
    explicit FileFault(const std::string& sentence) : std::runtime_error(sentence) {}
};

} // namespace shimledger::services
