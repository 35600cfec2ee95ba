#include "app/command/verb_support.h"
#include "app/command/verbs.h"

#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/shop_file.h"
#include "inventory/stock_verify.h"
#include "planner/units/input_error.h"

#include <nlohmann/json.hpp>

#include <filesystem>
#include <ostream>
#include <system_error>
#include <utility>

namespace shimledger::command {

namespace {

void tellImport(const inventory::ImportReport& report, const char* verb, std::ostream& out) {
    for (const inventory::ImportedFile& file : report.files) {
        out << file.file << ": " << file.rows << ' ' << file.what << '\n';
    }
    for (const std::string& file : report.ignored)
        out << "Passed over: " << file << ", which is no table of a shop\n";
    constexpr std::size_t most_told = 20;
    for (std::size_t i = 0; i < report.stock.size() && i < most_told; ++i) {
        const inventory::ImportedStock& part = report.stock[i];
        out << "  " << part.part << ": " << part.before << " -> " << part.after << " on hand\n";
    }
    if (report.stock.size() > most_told)
        out << "  and " << report.stock.size() - most_told << " more parts\n";
    out << verb << ' ' << report.movements << " movements, which change the stock of " << report.stock.size()
        << (report.stock.size() == 1 ? " part.\n" : " parts.\n");
}

/// A shop file that was made for an import that did not come to be.
void dropNew(inventory::ShopFile shop) {
    const std::filesystem::path path = shop.path();
    { const inventory::ShopFile closing = std::move(shop); }
    inventory::removeShopFile(path);
}

} // namespace

int runStockImport(const StockVerb& verb, Streams& streams) {
    namespace fs = std::filesystem;
    const bool folder = fs::is_directory(verb.path);
    if (!folder && !fs::exists(verb.path))
        throw InputError("'" + verb.path + "' cannot be read: there is no such file or folder");
    auto shop = verb.create ? inventory::ShopFile::create(verb.shop_file) : openShop(verb.shop_file, streams);
    if (verb.preview) {
        const auto report =
            folder ? inventory::previewShopFolder(shop, verb.path) : inventory::previewFile(shop, verb.path);
        for (const inventory::ImportProblem& problem : report.problems)
            streams.error << problem.text() << '\n';
        tellImport(report, "Would post", streams.out);
        if (!report.good()) streams.error << inventory::problemCountText(report) << '\n';
        if (verb.create) dropNew(std::move(shop));
        return report.good() ? exit_done : exit_bad_input;
    }
    try {
        tellImport(folder ? inventory::importShopFolder(shop, verb.path)
                          : inventory::importFile(shop, verb.path),
                   "Posted", streams.out);
    } catch (const inventory::ImportRefused& refused) {
        for (const inventory::ImportProblem& problem : refused.report().problems)
            streams.error << problem.text() << '\n';
        streams.error << inventory::problemCountText(refused.report()) << " Nothing was imported.\n";
        if (verb.create) dropNew(std::move(shop));
        return exit_bad_input;
    } catch (...) {
        if (verb.create) dropNew(std::move(shop));
        throw;
    }
    return exit_done;
}

int runStockExport(const StockVerb& verb, Streams& streams) {
    auto shop = inventory::ShopFile::openReadOnly(verb.shop_file);
    if (verb.everything) {
        inventory::exportShopFolder(shop, verb.path);
    } else {
        inventory::exportStockCsv(shop, verb.path);
    }
    streams.out << "Wrote " << verb.path << '\n';
    return exit_done;
}

int runStockVerify(const StockVerb& verb, Streams& streams) {
    auto shop = inventory::ShopFile::openReadOnly(verb.shop_file);
    const inventory::VerifyReport report = inventory::verifyStock(shop);
    std::vector<std::string> sentences = report.faults;
    for (const inventory::StockDifference& difference : report.differences)
        sentences.push_back(difference.text());
    if (verb.json) {
        const nlohmann::json root = {{"good", report.good()},
                                     {"movements", report.movements},
                                     {"lots", report.lots},
                                     {"faults", sentences}};
        streams.out << root.dump(2) << '\n';
    } else {
        for (const std::string& sentence : sentences) streams.out << sentence << '\n';
        streams.out << (report.good() ? "True: " : "NOT TRUE: ") << report.movements << " movements summed, "
                    << report.lots << " balances compared, " << sentences.size() << " differences.\n";
        if (report.good()) {
            streams.out
                << "Every row can be read and the ledger is as it was posted. A name, size or price in the "
                   "lists "
                   "of parts, jobs and suppliers that became another possible one cannot be told from the "
                   "file: a backup tells it.\n";
        }
    }
    return report.good() ? exit_done : exit_fault;
}

} // namespace shimledger::command
