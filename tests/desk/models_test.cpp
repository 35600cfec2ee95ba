// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desk/drawers/stock_filter_model.h"
#include "app/desk/drawers/stock_table_model.h"
#include "app/desk/jobs/job_table_model.h"
#include "app/desk/jobs/proposal_table_model.h"
#include "app/desk/jobs/stack_table_model.h"

#include <QAbstractItemModelTester>
#include <QSignalSpy>

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::length_literals;
using namespace shimledger::desk;

namespace {

constexpr auto fatal = QAbstractItemModelTester::FailureReportingMode::Fatal;

StockLine stockLine(std::string bin, Length od, Length thickness, std::int64_t on_hand,
                    std::int64_t reserved) {
    inventory::StockLot lot;
    lot.part = "SH-" + od.text(1) + "-" + thickness.text(2);
    lot.kind = inventory::PartKind::shim;
    lot.description = "spring steel";
    lot.od = od;
    lot.id = 6_mm;
    lot.thickness = thickness;
    lot.bin = std::move(bin);
    lot.walking_order = 10 + static_cast<std::int64_t>(lot.bin.back());
    lot.on_hand = on_hand;
    lot.reserved = reserved;
    return {lot, QString::fromStdString(od.text(1) + " x 6.0 x " + thickness.text(2)), lot.available()};
}

/// As the services tell it.
StockLevels levels(const std::vector<StockLine>& lines, std::int64_t reorder_point) {
    StockLevels result;
    for (const StockLine& line : lines) {
        services::StockLevel level;
        level.available = line.part_available;
        level.reorder_point = reorder_point;
        level.low = line.part_available <= reorder_point;
        level.why = "available " + std::to_string(line.part_available) + ", reorder point " +
                    std::to_string(reorder_point);
        result[line.lot.part] = std::make_shared<const services::StockLevel>(level);
    }
    return result;
}

QString shown(const QAbstractItemModel& model, int row, int column) {
    return model.index(row, column).data(Qt::DisplayRole).toString();
}

planner::SubstituteProposal proposal(double deviation) {
    planner::SubstituteProposal result;
    result.deviation = {std::abs(deviation), deviation, 0.22, 1.004, 1 + deviation};
    result.height_change = Length::fromMicrometres(-50);
    result.discs_changed = 3;
    result.within_scatter = true;
    result.merits = {true, false, true, false};
    result.pulls = {{"A3", "SH", 24_mm, 0.10_mm, {}, false, 8, 30, {4, 4}}};
    return result;
}

} // namespace

TEST_CASE("The stock table is a sound model and tells each state in words") {
    StockTableModel model;
    const QAbstractItemModelTester tester(&model, fatal);
    const std::vector lines{stockLine("A1", 24_mm, 0.10_mm, 40, 0), stockLine("A2", 24_mm, 0.15_mm, 6, 6),
                            stockLine("A3", 22_mm, 0.10_mm, 3, 0), stockLine("B1", 20_mm, 0.20_mm, 0, 0)};
    model.setLines(lines);
    CHECK(model.columnCount() == StockTableModel::column_count);
    CHECK(shown(model, 2, StockTableModel::state).isEmpty()); // how the parts stand is not known yet
    model.setLevels(levels(lines, 4));
    CHECK(shown(model, 0, StockTableModel::state).isEmpty());
    CHECK(shown(model, 1, StockTableModel::state) == QStringLiteral("all reserved, low"));
    CHECK(shown(model, 2, StockTableModel::state) == QStringLiteral("low"));
    CHECK(shown(model, 3, StockTableModel::state) == QStringLiteral("none left"));
    CHECK(shown(model, 1, StockTableModel::available) == QStringLiteral("0"));
    CHECK(model.index(2, StockTableModel::state)
              .data(Qt::ToolTipRole)
              .toString()
              .contains(QStringLiteral("available 3, reorder point 4")));
    model.setLines(lines); // read again: what was known is still known
    CHECK(shown(model, 2, StockTableModel::state) == QStringLiteral("low"));
}

TEST_CASE("A part that a job is short of says so before anything else, and each state has its own mark") {
    std::vector lines{stockLine("A1", 24_mm, 0.10_mm, 1, 0), stockLine("A2", 24_mm, 0.15_mm, 6, 6),
                      stockLine("A3", 22_mm, 0.10_mm, 3, 0), stockLine("A4", 20_mm, 0.10_mm, 9, 0),
                      stockLine("F1", 18_mm, 0.10_mm, 2, 2)};
    CHECK(lines[1].mark() == StateMark::held);
    StockLevels known = levels(lines, 4);
    services::StockLevel wanted = *known.at(lines[0].lot.part);
    wanted.short_for_jobs = 3;
    wanted.jobs = {"JOB-1005", "JOB-1006"};
    lines[0].level = std::make_shared<const services::StockLevel>(wanted);
    for (std::size_t i = 1; i < lines.size(); ++i) lines[i].level = known.at(lines[i].lot.part);
    lines[4].part_available = 8; // there is more of it in another drawer
    CHECK(lines[0].stateText() == QStringLiteral("3 short for JOB-1005 and others"));
    CHECK(lines[0].mark() == StateMark::missing);
    CHECK(lines[1].mark() == StateMark::low);
    CHECK(lines[2].mark() == StateMark::low);
    CHECK(lines[3].mark() == StateMark::none);
    CHECK(lines[4].mark() == StateMark::held);
    CHECK(lines[0].stateWords().contains(QStringLiteral("JOB-1006"))); // found by either job
}

TEST_CASE("Typed words narrow the stock table, in any order and with a decimal comma") {
    StockTableModel model;
    model.setLines({stockLine("A1", 24_mm, 0.10_mm, 40, 0), stockLine("A2", 24_mm, 0.15_mm, 6, 6),
                    stockLine("A3", 22_mm, 0.10_mm, 3, 0)});
    StockFilterModel filter;
    const QAbstractItemModelTester tester(&filter, fatal);
    filter.setSourceModel(&model);
    const std::vector<std::pair<const char*, int>> cases = {
        {"", 3},     {"24", 2},       {"0.10 24", 1}, {"0,10 24", 1}, {"a3", 1},
        {"SHIM", 3}, {"reserved", 1}, {"0.33", 0},    {"40", 0}, // of which there are 40
        {"0.1", 2},  {"0.15", 1},     {"24 0.1", 1}};
    for (const auto& [words, found] : cases) {
        INFO(words);
        filter.setWords(QString::fromLatin1(words));
        CHECK(filter.rowCount() == found);
    }
}

TEST_CASE("The stock table sorts sizes and counts by value, not by their text") {
    StockTableModel model;
    model.setLines({stockLine("A1", 9_mm, 0.10_mm, 9, 0), stockLine("A2", 24_mm, 0.10_mm, 100, 0),
                    stockLine("A3", 24_mm, 0.05_mm, 20, 0)});
    StockFilterModel filter;
    filter.setSourceModel(&model);
    filter.sort(StockTableModel::size);
    CHECK(shown(filter, 0, StockTableModel::bin) == QStringLiteral("A1"));
    CHECK(shown(filter, 1, StockTableModel::bin) == QStringLiteral("A3"));
    filter.sort(StockTableModel::on_hand, Qt::DescendingOrder);
    CHECK(shown(filter, 0, StockTableModel::on_hand) == QStringLiteral("100"));
    CHECK(shown(filter, 2, StockTableModel::on_hand) == QStringLiteral("9"));
}

TEST_CASE("The stack table is a sound model and names what is missing") {
    StackTableModel model;
    const QAbstractItemModelTester tester(&model, fatal);
    model.setLines({{{4, 24_mm, 0.15_mm, {}, {}}, 8, QStringLiteral("A2"), 6, 0, 6, 2, 0},
                    {{1, 18_mm, 0.20_mm, {}, {}}, 2, QStringLiteral("B1, B4"), 30, 2, 28, 0, 0}});
    CHECK(shown(model, 0, StackTableModel::count) == QStringLiteral("4"));
    CHECK(shown(model, 0, StackTableModel::od) == QStringLiteral("24.0"));
    CHECK(shown(model, 0, StackTableModel::thickness) == QStringLiteral("0.15"));
    CHECK(shown(model, 0, StackTableModel::state) == QStringLiteral("short of 2"));
    CHECK_FALSE(model.index(0, StackTableModel::state).data(Qt::DecorationRole).isNull());
    CHECK(shown(model, 1, StackTableModel::state) == QStringLiteral("enough"));
}

TEST_CASE("The proposal table shows sign and place of the deviation and the merits in words") {
    ProposalTableModel model;
    const QAbstractItemModelTester tester(&model, fatal);
    services::WarpComparison whole, part;
    whole.whole = true;
    whole.reached_mm = part.reached_mm = 0.3;
    whole.warped.signed_deviation = part.warped.signed_deviation = 0.022;
    model.setProposals({proposal(0.0126), proposal(-0.041), proposal(-0.05)}, {whole, part});
    CHECK(shown(model, 0, ProposalTableModel::deviation) == QStringLiteral("+1.3 %"));
    CHECK(shown(model, 1, ProposalTableModel::deviation) == QStringLiteral("-4.1 %"));
    CHECK(model.index(0, ProposalTableModel::deviation)
              .data(Qt::ToolTipRole)
              .toString()
              .contains(QStringLiteral("0.22 mm")));
    CHECK(shown(model, 0, ProposalTableModel::warped) == QStringLiteral("+2.2 %"));
    CHECK(shown(model, 1, ProposalTableModel::warped) == QStringLiteral("+2.2 % to 0.30 mm"));
    CHECK(shown(model, 2, ProposalTableModel::warped) == QStringLiteral("not known"));
    CHECK(shown(model, 0, ProposalTableModel::height) == QStringLiteral("-0.05 mm"));
    CHECK(shown(model, 0, ProposalTableModel::scatter) == QStringLiteral("within"));
    CHECK(shown(model, 0, ProposalTableModel::merits) == QStringLiteral("closest, smallest height change"));
    CHECK(pullLines(model.proposal(0).pulls).join(QLatin1Char(';')) ==
          QStringLiteral("A3: 8 of 24.0 x 0.10"));
}

TEST_CASE("The job table is reset only when something has changed") {
    JobTableModel model;
    const QAbstractItemModelTester tester(&model, fatal);
    QSignalSpy resets(&model, &QAbstractItemModel::modelReset);
    JobLine line;
    line.job.code = "JOB-1";
    line.job.customer = "A. Sample (invented)";
    line.mark = StateMark::missing;
    line.situation_text = QStringLiteral("2 sizes short");
    model.setLines({line});
    model.setLines({line});
    CHECK(resets.size() == 1);
    CHECK(model.rowOf("JOB-1") == 0);
    CHECK(model.rowOf("JOB-2") == -1);
    CHECK(shown(model, 0, JobTableModel::situation) == QStringLiteral("2 sizes short"));
    line.situation_text = QStringLiteral("reserved");
    model.setLines({line});
    CHECK(resets.size() == 2);
}
