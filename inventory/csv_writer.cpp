#include "inventory/csv_writer.h"

#include "inventory/csv_guard.h"
#include "inventory/inventory_error.h"

#include <fstream>
#include <system_error>

namespace shimledger::inventory {

namespace {

bool needsQuotes(std::string_view cell) {
    return cell.find_first_of(",\"\r\n") != std::string_view::npos ||
           (!cell.empty() && (cell.front() == ' ' || cell.back() == ' '));
}

} // namespace

void CsvWriter::row(const std::vector<std::string>& cells) {
    bool first = true;
    for (const std::string& cell : cells) {
        if (!first) m_out << ',';
        first = false;
        const std::string_view guard = needsGuard(cell) ? "'" : "";
        if (!needsQuotes(cell)) {
            m_out << guard << cell;
            continue;
        }
        m_out << '"' << guard;
        for (const char c : cell) {
            if (c == '"') m_out << '"';
            m_out << c;
        }
        m_out << '"';
    }
    m_out << "\r\n";
}

std::string csvLength(std::optional<Length> length) {
    return length ? length->text(2) : std::string();
}

std::string csvWhole(std::optional<std::int64_t> number) {
    return number ? std::to_string(*number) : std::string();
}

void writeCsvFile(const std::filesystem::path& path, const std::function<void(std::ostream&)>& write) {
    if (std::filesystem::exists(path))
        throw InputError(path.string() + " exists already: give a name that is free");
    std::ofstream out(path, std::ios::binary);
    if (out) write(out);
    out.close();
    if (!out) {
        std::error_code ignored;
        std::filesystem::remove(path, ignored);
        throw ShopFileFault("the file " + path.string() +
                            " cannot be written: is the disk full or the folder read-only?");
    }
}

} // namespace shimledger::inventory
