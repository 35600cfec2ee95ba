#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Lets LibreOffice compute every formula of the demo shop's reorder sheet and holds it against what was written.

    tests/comparisons/sheet_formulas.py [build/release]

Needs libreoffice-calc (Debian 12). The values beside the formulas are set to 0 first, so that nothing but a
computation can bring them back. Exit code 1 where one differs.
"""
import csv, glob, html, os, re, subprocess, sys, tempfile, zipfile

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
RECALCULATE = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse">
<value>0</value></prop></item></oor:items>
"""
CSV = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1"
CELL = re.compile(r'(<c r="([A-Z]+)(\d+)"[^>]*><f>[^<]*</f><v>)([^<]*)(</v></c>)')


def column_number(letters):
    number = 0
    for letter in letters:
        number = 26 * number + ord(letter) - 64
    return number - 1


def without_values(source, target):
    """Copies the workbook with 0 beside each formula; returns {sheet name: {(row, column): value}}."""
    written = {}
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        names = re.findall(r'<sheet name="([^"]*)"', old.read("xl/workbook.xml").decode())
        for entry in old.namelist():
            data = old.read(entry)
            sheet = re.fullmatch(r"xl/worksheets/sheet(\d+)\.xml", entry)
            if sheet:
                text = data.decode()
                name = html.unescape(names[int(sheet.group(1)) - 1])
                written[name] = {(int(m.group(3)) - 1, column_number(m.group(2))): float(m.group(4))
                                 for m in CELL.finditer(text)}
                if text.count("<f>") != len(written[name]):
                    sys.exit(f"{name}: a formula stands without a number beside it")
                data = CELL.sub(r"\g<1>0\g<5>", text).encode()
            new.writestr(entry, data)
    return written


def computed(workbook, folder):
    profile = os.path.join(folder, "profile", "user")
    os.makedirs(profile)
    with open(os.path.join(profile, "registrymodifications.xcu"), "w") as settings:
        settings.write(RECALCULATE)
    subprocess.run(["soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless", "--convert-to", CSV,
                    "--outdir", folder, workbook], check=True, capture_output=True, timeout=300)
    tables = {}
    stem = os.path.splitext(os.path.basename(workbook))[0]
    for path in glob.glob(os.path.join(folder, glob.escape(stem) + "-*.csv")):
        with open(path, encoding="utf-8", newline="") as file:
            tables[os.path.basename(path)[len(stem) + 1:-4]] = list(csv.reader(file))
    return tables


def main():
    build = os.path.abspath(sys.argv[1] if len(sys.argv) > 1 else os.path.join(ROOT, "build", "release"))
    compared = differing = 0
    with tempfile.TemporaryDirectory() as folder:
        shop = os.path.join(folder, "shop")
        subprocess.run([os.path.join(build, "bin", "shimledger"), "demo", shop, "--catalog",
                        os.path.join(ROOT, "seed_catalog")], check=True, capture_output=True)
        emptied = os.path.join(folder, "emptied.xlsx")
        written = without_values(os.path.join(shop, "reorder.xlsx"), emptied)
        tables = computed(emptied, folder)
        for sheet, cells in written.items():
            for (row, column), value in cells.items():
                shown = tables[sheet][row][column]
                number = float(re.sub(r"[^0-9.\-]", "", shown) or "nan")
                compared += 1
                if not abs(number - value) < 0.005:
                    differing += 1
                    print(f"{sheet} row {row + 1} column {column + 1}: written {value}, computed '{shown}'")
    print(f"{compared} formulas computed by LibreOffice, {differing} differ from what was written")
    return 1 if differing or not compared else 0


if __name__ == "__main__":
    sys.exit(main())
