// SPDX-License-Identifier: GPL-3.0-or-later
// What leaves with the customer and what the books want.
#include "app/command/job_verbs.h"
#include "app/command/known_names.h"
#include "app/command/verb_support.h"

#include "app/services/job_costs.h"
#include "app/services/job_record.h"
#include "app/services/record_words.h"
#include "app/services/sheets/job_record_sheet.h"
#include "app/services/sheets/money_sheets.h"
#include "app/services/stock_value.h"
#include "inventory/csv_writer.h"
#include "inventory/part_kinds.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <ostream>

namespace shimledger::command {

namespace {

nlohmann::json moneyJson(const services::Money& sums) {
    nlohmann::json root = nlohmann::json::object();
    for (const auto& [currency, amount] : sums) root[currency] = inventory::moneyText(amount);
    return root;
}

nlohmann::json priceJson(const services::PartPrice& price, inventory::Hundredths amount) {
    return {{"from", services::priceSourceName(price.source)},
            {"pack_price", inventory::moneyText(price.pack_price)},
            {"pack_size", price.pack_size},
            {"currency", price.currency},
            {"supplier", price.supplier},
            {"day", price.day ? nlohmann::json(price.day->text()) : nullptr},
            {"amount", inventory::moneyText(amount)}};
}

bool isWorkbook(const std::string& file) {
    return file.ends_with(".xlsx");
}

nlohmann::json recordJson(const services::JobRecord& record) {
    nlohmann::json root = {{"job", record.job},
                           {"customer", record.customer},
                           {"component", record.component},
                           {"model", record.model},
                           {"legs", record.legs},
                           {"opened", record.opened.text()},
                           {"built", record.built ? nlohmann::json(record.built->text()) : nullptr},
                           {"ended", record.ended ? nlohmann::json(record.ended->text()) : nullptr},
                           {"state", record.state},
                           {"found", nlohmann::json::array()},
                           {"valves", nlohmann::json::array()},
                           {"parts", nlohmann::json::array()},
                           {"wear", nlohmann::json::array()},
                           {"next_time", record.next_time},
                           {"cautions", record.cautions}};
    for (const services::RecordStack& stack : record.found) {
        nlohmann::json rows = nlohmann::json::array();
        for (const services::RecordRow& row : stack.rows)
            rows.push_back({{"discs", row.text}, {"note", row.note}});
        root["found"].push_back({{"leg", stack.title}, {"rows", std::move(rows)}});
    }
    for (const services::RecordValve& valve : record.valves) {
        nlohmann::json rows = nlohmann::json::array();
        for (const services::RecordRow& row : valve.stack)
            rows.push_back({{"discs", row.text}, {"note", row.note}});
        root["valves"].push_back({{"valve", valve.title},
                                  {"sizes", valve.sizes},
                                  {"stack", std::move(rows)},
                                  {"heights", valve.heights},
                                  {"curves", valve.curves}});
    }
    for (const services::RecordPart& part : record.parts) {
        root["parts"].push_back(
            {{"what", part.what}, {"quantity", part.quantity}, {"unit", part.unit}, {"used", part.used}});
    }
    for (const services::RecordWear& wear : record.wear) {
        root["wear"].push_back({{"where", wear.where},
                                {"what", wear.what},
                                {"found", wear.found},
                                {"decision", wear.decision},
                                {"remark", wear.remark}});
    }
    return root;
}

nlohmann::json sumsJson(const std::vector<services::ValueSum>& sums) {
    nlohmann::json root = nlohmann::json::array();
    for (const services::ValueSum& sum : sums)
        root.push_back({{"name", sum.name}, {"lots", sum.lots}, {"value", moneyJson(sum.amount)}});
    return root;
}

void tellValue(const services::StockValue& value, std::ostream& out) {
    const auto tell = [&](const char* heading, const std::vector<services::ValueSum>& sums) {
        out << heading << '\n';
        for (const services::ValueSum& sum : sums) {
            out << fmt::format("  {:<24} {:>6} lots  {}\n", sum.name.empty() ? "(none)" : sum.name, sum.lots,
                               services::moneySumText(sum.amount));
        }
    };
    out << "The stock on " << value.day.text() << ": " << services::moneySumText(value.total) << '\n';
    tell("By kind:", value.by_kind);
    tell("By cabinet:", value.by_cabinet);
    for (const std::string& note : services::valueNotes(value)) out << note << ".\n";
    for (const std::string& sentence : value.method) out << "Method: " << sentence << '\n';
}

} // namespace

int runJobRecord(const BooksVerb& verb, Streams& streams) {
    if (!isWorkbook(verb.out_file)) throw InputError("--out: the record is a workbook: name it .xlsx");
    const services::PaperSize paper = services::parsePaperSize(verb.paper);
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const services::JobRecord record = services::jobRecord(shop, verb.job);
    services::writeJobRecordSheet(record, {verb.out_file, verb.force}, paper);
    if (verb.json) {
        streams.out << recordJson(record).dump(2) << '\n';
        return exit_done;
    }
    for (const std::string& sentence : record.next_time) streams.out << "Next time: " << sentence << '\n';
    if (record.state != "closed")
        streams.out << "Note: the job is " << record.state << ", so the record is not the last word.\n";
    streams.out << "Wrote " << verb.out_file << '\n';
    return exit_done;
}

int runJobCosts(const BooksVerb& verb, Streams& streams) {
    const services::PaperSize paper = services::parsePaperSize(verb.paper);
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const services::JobCosts costs = services::jobCosts(shop, verb.job);
    if (isWorkbook(verb.out_file)) {
        services::writeJobCostsSheet(costs, {verb.out_file, verb.force}, paper);
    } else if (!verb.out_file.empty()) {
        inventory::writeCsvFile({verb.out_file, verb.force},
                                [&](std::ostream& out) { services::writeCostsCsv(costs, out); });
    }
    if (verb.json) {
        nlohmann::json root = {{"job", costs.job},
                               {"lines", nlohmann::json::array()},
                               {"total", moneyJson(costs.total)},
                               {"notes", costs.notes},
                               {"method", costs.method}};
        for (const services::CostLine& line : costs.lines) {
            root["lines"].push_back({{"day", line.day.text()},
                                     {"part", line.part},
                                     {"what", line.what},
                                     {"condition", inventory::conditionName(line.condition)},
                                     {"scrapped", line.scrapped},
                                     {"quantity", line.quantity},
                                     {"unit", line.unit},
                                     {"price", priceJson(line.price, line.amount())}});
        }
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    for (const services::CostLine& line : costs.lines) {
        streams.out << fmt::format("{} {:>4} {:<6} {:<30} {:>10} {}  {}{}\n", line.day.text(), line.quantity,
                                   line.unit, line.what, inventory::moneyText(line.amount()),
                                   line.price.currency.empty() ? "   " : line.price.currency,
                                   line.price.text(), line.scrapped ? ", scrapped" : "");
    }
    if (costs.lines.empty()) streams.out << "Nothing was used for " << costs.job << ".\n";
    streams.out << "In all " << services::moneySumText(costs.total) << '\n';
    for (const std::string& note : costs.notes) streams.out << "Note: " << note << '\n';
    for (const std::string& sentence : costs.method) streams.out << "Method: " << sentence << '\n';
    if (!verb.out_file.empty()) streams.out << "Wrote " << verb.out_file << '\n';
    return exit_done;
}

int runStockValue(const BooksVerb& verb, Streams& streams) {
    const services::PaperSize paper = services::parsePaperSize(verb.paper);
    std::optional<inventory::CalendarDate> day;
    if (!verb.on_day.empty()) day = inventory::CalendarDate::parse(verb.on_day);
    auto shop = openShop(verb.shop_file, streams);
    const services::StockValue value = services::stockValue(shop, day.value_or(shop.now().date()));
    if (isWorkbook(verb.out_file)) {
        services::writeStockValueSheet(value, {verb.out_file, verb.force}, paper);
    } else if (!verb.out_file.empty()) {
        inventory::writeCsvFile({verb.out_file, verb.force},
                                [&](std::ostream& out) { services::writeValueCsv(value, out); });
    }
    if (verb.json) {
        nlohmann::json root = {{"day", value.day.text()},
                               {"total", moneyJson(value.total)},
                               {"of_offers", moneyJson(value.of_offers)},
                               {"by_kind", sumsJson(value.by_kind)},
                               {"by_cabinet", sumsJson(value.by_cabinet)},
                               {"unpriced", value.unpriced},
                               {"method", value.method},
                               {"lots", nlohmann::json::array()}};
        for (const services::ValuedLot& lot : value.lots) {
            root["lots"].push_back({{"bin", lot.bin},
                                    {"cabinet", lot.cabinet},
                                    {"part", lot.part},
                                    {"kind", lot.kind},
                                    {"condition", inventory::conditionName(lot.condition)},
                                    {"quantity", lot.quantity},
                                    {"unit", lot.unit},
                                    {"price", priceJson(lot.price, lot.amount())}});
        }
        streams.out << root.dump(2) << '\n';
        return exit_done;
    }
    tellValue(value, streams.out);
    if (!verb.out_file.empty()) streams.out << "Wrote " << verb.out_file << '\n';
    return exit_done;
}

} // namespace shimledger::command
