// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/services/record_words.h"

#include <fmt/format.h>

namespace shimledger::services {

namespace {

RecordTable foundTable(const JobRecord& record) {
    RecordTable table{"Found, from the piston face to the clamp", {"", "Discs", "", "", "What"}, {}, {}};
    for (const RecordStack& stack : record.found) {
        std::string leg = stack.title;
        for (const RecordRow& row : stack.rows) {
            table.rows.push_back({leg, row.text, "", "", row.note});
            leg.clear();
        }
    }
    if (record.found.empty()) {
        table.columns.clear();
        table.sentences.emplace_back("The stack that was in it was not written down.");
    }
    return table;
}

RecordTable builtTable(const JobRecord& record, const RecordValve& valve) {
    const std::string which = record.valves.size() == 1 ? std::string() : " of " + valve.title;
    RecordTable table{"Built" + which + ", each leg alike, from the piston face to the clamp",
                      {"No.", "Discs", "", "", "In place of"},
                      {},
                      {}};
    int number = 0;
    for (const RecordRow& row : valve.stack)
        table.rows.push_back({std::to_string(++number), row.text, "", "", row.note});
    if (valve.stack.empty()) {
        table.columns.clear();
        table.sentences.emplace_back("Nothing has been built in.");
        return table;
    }
    table.sentences.push_back("The stack is " + valve.heights + ".");
    if (!valve.curves.empty()) {
        std::string sentence = valve.curves + ".";
        sentence[0] = sentence[0] >= 'a' && sentence[0] <= 'z' ? static_cast<char>(sentence[0] - 'a' + 'A')
                                                               : sentence[0];
        table.sentences.push_back(std::move(sentence));
    }
    return table;
}

RecordTable partsTable(const JobRecord& record) {
    RecordTable table{"Renewed", {"", "What", "How much", "", ""}, {}, {}};
    for (const RecordPart& part : record.parts) {
        table.rows.push_back({"", part.what,
                              part.unit == "piece" ? std::to_string(part.quantity)
                                                   : fmt::format("{} {}", part.quantity, part.unit),
                              part.used ? "used" : "", ""});
    }
    return table;
}

RecordTable wearTable(const JobRecord& record) {
    RecordTable table{"Wear", {"Where", "What", "Found", "Decision", "Remark"}, {}, {}};
    for (const RecordWear& wear : record.wear)
        table.rows.push_back({wear.where, wear.what, wear.found, wear.decision, wear.remark});
    if (record.wear.empty()) {
        table.columns.clear();
        table.sentences.emplace_back("No wear was written down.");
    }
    return table;
}

} // namespace

std::string recordTitle(const JobRecord& record) {
    return "Record of " + record.job;
}

std::vector<std::string> recordHead(const JobRecord& record) {
    std::vector<std::string> head;
    if (!record.customer.empty()) head.push_back("For " + record.customer);
    head.push_back(record.model + (record.component.empty() ? "" : ", " + record.component) +
                   fmt::format(", {} leg{}", record.legs, record.legs == 1 ? "" : "s"));
    for (const RecordValve& valve : record.valves) head.push_back(valve.sizes);
    head.push_back("Came in on " + record.opened.text() +
                   (record.built ? ", built on " + record.built->text() : ", not built yet") +
                   (record.ended ? ", " + record.state + " on " + record.ended->text() : ""));
    if (record.state != "closed")
        head.push_back("The job is " + record.state + ": this record is not the last word.");
    return head;
}

std::vector<RecordTable> recordTables(const JobRecord& record) {
    std::vector<RecordTable> tables{foundTable(record)};
    for (const RecordValve& valve : record.valves) tables.push_back(builtTable(record, valve));
    if (!record.parts.empty()) tables.push_back(partsTable(record));
    tables.push_back(wearTable(record));
    if (!record.next_time.empty()) tables.push_back({"What to look at next time", {}, {}, record.next_time});
    tables.push_back({"Cautions", {}, {}, record.cautions});
    return tables;
}

} // namespace shimledger::services
