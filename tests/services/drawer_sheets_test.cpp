// SPDX-License-Identifier: GPL-3.0-or-later
#include "small_shop.h"
#include "zip_member.h"

#include "app/services/file_fault.h"
#include "app/services/sheets/bin_label_sheet.h"
#include "app/services/sheets/count_sheet_sheet.h"
#include "app/services/sheets/png_image.h"
#include "app/services/sheets/strip_form_sheet.h"

#include <catch2/catch.hpp>

using namespace shimledger;
using namespace shimledger::services;

TEST_CASE("a count sheet and a label sheet give the same bytes for the same shop, on both papers") {
    SmallShop small;
    for (const PaperSize paper : {PaperSize::a4, PaperSize::letter}) {
        writeCountSheet(countSheet(small.shop), small.folder / "count-1.xlsx", paper);
        writeCountSheet(countSheet(small.shop), small.folder / "count-2.xlsx", paper);
        CHECK(readBytes(small.folder / "count-1.xlsx") == readBytes(small.folder / "count-2.xlsx"));
        writeBinLabelSheet(binLabels(small.shop, {}), small.shop.now(), small.folder / "labels-1.xlsx",
                           paper);
        writeBinLabelSheet(binLabels(small.shop, {}), small.shop.now(), small.folder / "labels-2.xlsx",
                           paper);
        CHECK(readBytes(small.folder / "labels-1.xlsx") == readBytes(small.folder / "labels-2.xlsx"));
    }
    CHECK(readBytes(small.folder / "labels-1.xlsx") != readBytes(small.folder / "count-1.xlsx"));
    CHECK_THROWS_AS(writeCountSheet(countSheet(small.shop), small.folder / "no/such/folder.xlsx"),
                    InputError);
}

TEST_CASE("the strip form has a page for each leg, what was written down is in it, and the bytes are the "
          "same twice") {
    SmallShop small;
    StripForm form = stripForm(small.shop, "J1");
    REQUIRE(form.stacks.size() == 2);
    CHECK(form.stacks[0].found.lines.empty());
    CHECK_FALSE(form.cautions.empty());
    writeStripFormSheet(form, small.folder / "empty.xlsx");
    recordStrip(small.shop, "J1", 2, {parseStripRow("4 x 24 x 0.101 0.099 0.100 0.102 0.098 !1 bent")});
    form = stripForm(small.shop, "J1");
    CHECK(form.stacks[0].found.lines.empty());
    REQUIRE(form.stacks[1].found.lines.size() == 1);
    CHECK(form.stacks[1].found.lines[0].row.scrap == 1);
    writeStripFormSheet(form, small.folder / "1.xlsx");
    writeStripFormSheet(form, small.folder / "2.xlsx");
    CHECK(readBytes(small.folder / "1.xlsx") == readBytes(small.folder / "2.xlsx"));
    CHECK(readBytes(small.folder / "1.xlsx") != readBytes(small.folder / "empty.xlsx"));
    CHECK_THROWS_AS(stripForm(small.shop, "J99"), InputError);
}

TEST_CASE("the strip form says what goes before the first nut above the first line to fill in") {
    SmallShop small;
    const StripForm form = stripForm(small.shop, "J1");
    REQUIRE(form.cautions.size() >= 2);
    writeStripFormSheet(form, small.folder / "form.xlsx");
    const std::string texts = zipMember(readBytes(small.folder / "form.xlsx"), "xl/sharedStrings.xml");
    const std::string first_leg =
        zipMember(readBytes(small.folder / "form.xlsx"), "xl/worksheets/sheet1.xml");
    // A cell names a text by its number, and rows come in their order.
    const auto cellWith = [&](const std::string& text) {
        const std::size_t at = texts.find(text);
        REQUIRE(at != std::string::npos);
        int number = -1;
        for (std::size_t item = texts.find("<si>"); item < at; item = texts.find("<si>", item + 1)) ++number;
        return first_leg.find("<v>" + std::to_string(number) + "</v>");
    };
    CHECK(cellWith("release the gas charge") < cellWith("Read 1"));
    CHECK(cellWith("eye protection") < cellWith("Read 1"));
}

TEST_CASE("a mark's picture is a PNG of the mark and its quiet zone") {
    const QrMark mark = qrMark("A1");
    const std::vector<unsigned char> png = markImage(mark, 4);
    const std::vector<unsigned char> signature{0x89, 'P', 'N', 'G', '\r', '\n', 0x1a, '\n'};
    CHECK(std::vector<unsigned char>(png.begin(), png.begin() + 8) == signature);
    const std::size_t side = (21 + 8) * 4; // version 1 and four quiet modules on each side
    CHECK(png.at(18) == side / 256);
    CHECK(png.at(19) == side % 256);
    CHECK(png.at(22) == side / 256);
    CHECK(png.at(23) == side % 256);
    CHECK(png != markImage(qrMark("A2"), 4));
}
