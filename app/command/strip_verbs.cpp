// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/known_names.h"
#include "app/command/shop_verbs.h"
#include "app/command/verb_support.h"

#include "app/services/sheets/strip_form_sheet.h"
#include "app/services/strip_sheet.h"
#include "planner/units/input_error.h"

#include <fmt/format.h>

#include <ostream>
#include <sstream>

namespace shimledger::command {

namespace {

std::vector<inventory::StripRow> rowsOf(const StripVerb& verb) {
    std::vector<inventory::StripRow> rows;
    const auto read = [&](const std::string& text) {
        try {
            rows.push_back(services::parseStripRow(text));
        } catch (const InputError& error) {
            throw InputError("row " + std::to_string(rows.size() + 1) + ": " + error.what());
        }
    };
    if (verb.rows.empty() == verb.rows_file.empty())
        throw InputError("give the rows either by --row or by --rows FILE");
    for (const std::string& text : verb.rows) read(text);
    if (verb.rows_file.empty()) return rows;
    std::istringstream lines(readFile(verb.rows_file));
    for (std::string line; std::getline(lines, line);) {
        while (!line.empty() && (line.back() == '\r' || line.back() == ' ')) line.pop_back();
        if (!line.empty()) read(line);
    }
    return rows;
}

void tell(const services::StripView& view, std::ostream& out) {
    out << "Leg " << view.leg << " of " << view.job << ", piston face first\n";
    int number = 0;
    for (const services::StripLine& line : view.lines) {
        std::string readings;
        for (const Length reading : line.row.readings) readings += " " + reading.text(3);
        out << fmt::format("{:>3}  {} x {} {:<24} {:<28} {}\n", ++number, line.row.count, line.row.od.text(),
                           readings.empty() ? "(not read)" : "reads" + readings,
                           line.row.part.empty() ? "not identified" : line.what + " = " + line.row.part,
                           line.row.bin.empty() ? "" : "to " + line.row.bin);
        if (line.row.scrap > 0)
            out << "     " << line.row.scrap << " scrap: " << line.row.scrap_reason << '\n';
        if (!line.candidates.empty()) out << "     " << line.candidates << '\n';
    }
}

} // namespace

int runStripRecord(const StripVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const std::vector<inventory::StripRow> rows = rowsOf(verb);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        try {
            mustBePart(shop, rows[i].part);
        } catch (const InputError& error) {
            throw InputError("row " + std::to_string(i + 1) + ": " + error.what());
        }
    }
    tell(services::recordStrip(shop, verb.job, verb.leg, rows), streams.out);
    return exit_done;
}

int runStripShow(const StripVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const auto views = services::stripSheets(shop, verb.job);
    for (const services::StripView& view : views) tell(view, streams.out);
    if (views.empty()) streams.out << "No strip of " << verb.job << " is recorded.\n";
    for (const std::string& sentence : services::putAwayList(shop, verb.job).left_out)
        streams.out << "Not to be put away: " << sentence << '\n';
    return exit_done;
}

int runStripForm(const StripVerb& verb, Streams& streams) {
    const services::PaperSize paper = services::parsePaperSize(verb.paper);
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    services::writeStripFormSheet(services::stripForm(shop, verb.job), {verb.out_file, verb.force}, paper);
    streams.out << "Wrote " << verb.out_file << '\n';
    return exit_done;
}

int runStripCompare(const StripVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const services::LegComparison comparison =
        services::compareLegs(shop, verb.job, verb.leg, verb.other_leg, verb.working_lift_mm);
    for (const services::LegDifference& difference : comparison.rows)
        streams.out << difference.sentence << '\n';
    if (comparison.rows.empty()) streams.out << "The discs are alike.\n";
    streams.out << comparison.curve_sentence << '\n';
    return exit_done;
}

int runStripPutAway(const StripVerb& verb, Streams& streams) {
    auto shop = openShop(verb.shop_file, streams);
    mustBeJob(shop, verb.job);
    const services::PutAway away = services::putAwayList(shop, verb.job);
    services::putAway(shop, verb.job);
    for (const services::PutAwayLine& line : away.lines) {
        streams.out << line.quantity << " of " << line.part << " (" << line.what << ") into " << line.bin
                    << ", used\n";
    }
    for (const std::string& sentence : away.left_out) streams.out << "Left out: " << sentence << '\n';
    return exit_done;
}

} // namespace shimledger::command
