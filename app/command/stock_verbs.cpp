// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/verb_support.h"
#include "app/command/verbs.h"

#include "app/services/sheet_import/sheet_cells.h"
#include "app/services/sheet_import/sheet_import.h"
#include "app/services/sheets/stock_template_sheet.h"
#include "inventory/calendar.h"
#include "inventory/csv_export.h"
#include "inventory/csv_import.h"
#include "inventory/shop_address.h"
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

void tellStock(const inventory::ImportReport& report, const char* verb, std::ostream& out) {
    for (const inventory::ImportedFile& file : report.files) {
        out << file.file << ": " << file.rows << ' ' << file.what << '\n';
    }
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

void tellSheet(const services::UnderstoodSheet& sheet, bool every_line, std::ostream& out) {
    out << sheet.name << " is read as " << sheet.what << ".\n";
    for (const std::string& sentence : services::columnSentences(sheet)) out << "  " << sentence << '\n';
    for (const std::string& note : sheet.notes) out << "  " << note << '\n';
    for (const auto& [line, sentence] : sheet.lines) {
        if (every_line || sentence.starts_with("passed over"))
            out << "  line " << line << ": " << sentence << '\n';
    }
}

void tellImport(const services::SheetImport& import, bool preview, std::ostream& out) {
    for (const services::UnderstoodSheet& sheet : import.sheets) tellSheet(sheet, preview, out);
    for (const std::string& file : import.passed_over) out << "Passed over: " << file << '\n';
    for (const inventory::ImportReport& report : import.done) {
        // Of several steps those that only bring master data post nothing.
        if (import.done.size() > 1 && report.movements == 0) {
            for (const inventory::ImportedFile& file : report.files)
                out << file.file << ": " << file.rows << ' ' << file.what << '\n';
        } else {
            tellStock(report, preview ? "Would post" : "Posted", out);
        }
    }
}

/// A hundred lines with one kind of fault are one sentence.
void tellProblems(const services::SheetImport& import, bool preview, std::ostream& error) {
    for (const std::string& sentence : services::problemSentences(import.problems)) error << sentence << '\n';
    inventory::ImportReport count;
    count.problem_count = import.problem_count;
    count.unread_count = import.unread_count;
    error << inventory::problemCountText(count) << (preview ? "\n" : " Nothing was imported.\n");
}

services::SheetAnswers answersOf(const StockVerb& verb) {
    services::SheetAnswers answers;
    for (const std::string& text : verb.columns) answers.columns.push_back(services::columnAnswer(text));
    for (const std::string& text : verb.values) answers.values.push_back(services::valueAnswer(text));
    if (!verb.decimal.empty()) {
        if (verb.decimal != "point" && verb.decimal != "comma")
            throw InputError("--decimal is point or comma, not '" + verb.decimal.substr(0, 40) + "'");
        answers.decimal =
            verb.decimal == "comma" ? services::DecimalSign::comma : services::DecimalSign::point;
    }
    if (!verb.unit.empty() && verb.unit != "mm" && verb.unit != "in")
        throw InputError("--unit is mm or in, not '" + verb.unit.substr(0, 40) + "'");
    answers.unit = verb.unit;
    answers.sheet = verb.sheet;
    answers.sizes_are_meant = verb.as_written;
    return answers;
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
    const services::SheetAnswers answers = answersOf(verb);
    if (!fs::exists(verb.path))
        throw InputError("'" + verb.path + "' cannot be read: there is no such file or folder");
    if (verb.create)
        inventory::refuseServer(verb.shop_file,
                                "where 'shimledger server prepare' makes a new shop: after that, "
                                "import without --create");
    auto shop = verb.create ? inventory::ShopFile::create(verb.shop_file) : openShop(verb.shop_file, streams);
    bool good = false;
    try {
        const services::SheetImport import = services::importSheets(shop, verb.path, answers, !verb.preview);
        good = import.good();
        if (good || verb.preview) tellImport(import, verb.preview, streams.out);
        if (!good) tellProblems(import, verb.preview, streams.error);
    } catch (...) {
        if (verb.create) dropNew(std::move(shop));
        throw;
    }
    if (verb.create && (!good || verb.preview)) dropNew(std::move(shop));
    return good ? exit_done : exit_bad_input;
}

int runStockTemplate(const StockVerb& verb, Streams& streams) {
    const services::PaperSize paper = services::parsePaperSize(verb.paper);
    services::writeStockTemplate(inventory::systemClock()(), {verb.path, verb.force}, paper);
    streams.out << "Wrote " << verb.path << ": fill it in, then 'stock import " << verb.path
                << " --preview'.\n";
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
                << "Every row can be read, and every movement is as it was posted. Not told: whether the "
                   "last "
                   "movements were taken off the end, and whether anything beside the movements (parts, "
                   "jobs, "
                   "stacks, suppliers and prices, orders, readings, strip sheets, findings) became something "
                   "else that is possible too. A backup tells that.\n";
        }
    }
    return report.good() ? exit_done : exit_fault;
}

} // namespace shimledger::command
