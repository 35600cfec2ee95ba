#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Breaks rules on purpose, one at a time; a test must fail for each.

usage: tests/analysis/mutations.py [ledger|bound|audit|all] [--short]    (--short: every sixteenth of each set)
A mutation that no test notices is printed as SURVIVED and makes the exit code 1.

The broken file is compiled by itself, as build/release compiles the sound one, and a test program is linked with it
before the library that holds the sound one: nothing of the tree or of build/release changes.
"""
import json
import pathlib
import re
import shlex
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILD = ROOT / "build/release"
PLACE = ROOT / "build/mutations"
RULES = "inventory/ledger/movement_rules.cpp"
LINE = "inventory/ledger/line_context.cpp"
POSTING = "inventory/ledger/ledger_posting.cpp"
WRITER = "inventory/ledger/movement_writer.cpp"
DRIVER = "inventory/storage/sqlite/sqlite_connection.cpp"
LEDGER = "inventory/stock_ledger.cpp"
COUNTS = "inventory/ledger/count_loss.cpp"
ISSUED = "inventory/ledger/issued_net.cpp"
BOUNDS = "planner/substitute/curve_bounds.cpp"

# (file, what stands there once, what is put in its place)
MUTATIONS = {
    "ledger": [
        (RULES, "if (balance.available() >= needed) return;", "if (balance.on_hand >= needed) return;"),
        (RULES, "row.reserved_change = -from_own;", "row.reserved_change = 0;"),
        (RULES, "needAvailable(context, balance, \"issue\", quantity - from_own);", ""),
        (RULES, "row.on_hand_change = quantity - balance.on_hand;", "row.on_hand_change = quantity;"),
        (RULES, "if (quantity < balance.reserved) rows = releasesByCount(connection, context);", ""),
        (COUNTS, "j.due IS NOT NULL, j.due DESC, ", ""),
        (COUNTS, "std::min(missing, query.integer(2))", "query.integer(2)"),
        (ISSUED, "if (condition != 0) quantity -= take(found(part), quantity);", ""),
        (ISSUED, "AND NOT EXISTS (SELECT 1 FROM movements u WHERE u.reverses_id = m.movement_id) \"\n                    \"ORDER BY", "ORDER BY"),
        (RULES, "if (own >= line.quantity) return;", "return;"),
        (RULES, "if (can_come >= line.quantity) return;", "return;"),
        (RULES, "if (line.quantity > expected) {", "if (false) {"),
        (RULES, "row.reserved_change = -query.integer(6);", "row.reserved_change = 0;"),
        (RULES, "if (!query.isNull(12)) {", "if (false) {"),
        (RULES, "if (balance.available() + row.on_hand_change - row.reserved_change < 0) {", "if (false) {"),
        (RULES, "in.on_hand_change = quantity;", "in.on_hand_change = quantity - 1;"),
        (RULES, "needAvailable(context, balance, \"scrap\", quantity);", ""),
        (RULES, "needAvailable(context, balance, \"move\", quantity);", ""),
        (RULES, "if (out < row.quantity) {", "if (false) {"),
        (LINE, "if (status == \"closed\" || status == \"cancelled\") {", "if (status == \"closed\") {"),
        (LINE, "line.kind == MovementKind::count ? 0 : 1;", "0;"),
        (POSTING, "if (const auto second = secondHalf(m_connection, first)) reverseOne(*second, reason);", ""),
        (POSTING, "for (const std::int64_t job : m_jobs) refreshJobStatus(m_connection, job);", ""),
        (WRITER, "if (row.job && row.reserved_change != 0) changeReservation(m_connection, row);", ""),
        (WRITER, "SET on_hand = on_hand + ?4,", "SET on_hand = on_hand + 2 * ?4,"),
        (LEDGER, "if (!stale) throw;", "throw;"),
        (DRIVER, "execute(\"BEGIN IMMEDIATE\");", "execute(\"BEGIN\");"),
        (DRIVER, "m_database.exec(\"ROLLBACK\");", "m_database.exec(\"COMMIT\");"),
        ("inventory/storage/shared_file_lock.cpp", "if (m_file >= 0) setLock(m_file, F_RDLCK, first_shared_byte, shared_bytes);", ""),
        ("inventory/output_file.cpp", "if (isDatabase(path))", "if (false)"),
        ("inventory/ledger/ledger_chain.cpp", "row.appendAll(m_row);", ""),
        ("inventory/storage/row_salvage.cpp", "copyRange(middle + 1, last);", ""),
        ("inventory/stock_verify.cpp", "sum.on_hand;\n        if (found.stored != found.proved) report.differences.push_back(found);", "sum.on_hand;"),
        ("inventory/stock_verify.cpp", "sum.reserved;\n        if (found.stored != found.proved) report.differences.push_back(found);", "sum.reserved;"),
        ("inventory/storage/shared_file_lock.cpp", "setLock(file, F_RDLCK, index_in_use_byte, 1);", ""),
    ],
    "bound": [
        (BOUNDS, "bending_above = 1.6", "bending_above = 0.2"),
        (BOUNDS, "bending_below = 1.0", "bending_below = 0.0"),
        (BOUNDS, "stretching_above = 3.0", "stretching_above = 0.2"),
        (BOUNDS, "gap_fall = 4.0", "gap_fall = -4.0"),
        (BOUNDS, "friction_drift = 2.0", "friction_drift = 0.02"),
        (BOUNDS, "friction_at_kink = 5.0", "friction_at_kink = 1.05"),
        (BOUNDS, "std::swap(soft[g].thickness_mm, stiff[g].thickness_mm)",
         "std::swap(soft[g].membrane_n_per_mm, stiff[g].membrane_n_per_mm)"),
        (BOUNDS, "m_trust.push_back(!no_kink ", "m_trust.push_back(false "),
    ],
    # Killed by what a search says of itself: the tests look at nothing but the word of its audit.
    "audit": [
        (BOUNDS, "bending_above = 1.6, bending_below = 1.0, stretching_above = 3.0, stretching_below = 1.0",
         "bending_above = 0.8, bending_below = 0.5, stretching_above = 1.5, stretching_below = 0.5"),
        (BOUNDS, "if ((least == centre && most == centre) || m_under_clamp[i / 2]) continue;",
         "if (!(least < most) || m_under_clamp[i / 2]) continue;"),
        (BOUNDS, "bending_below = 1.0", "bending_below = 0.1"),
        (BOUNDS, "stretching_above = 3.0", "stretching_above = 0.6"),
        (BOUNDS, "friction_drift = 2.0", "friction_drift = 0.2"),
    ],
}
PROGRAMS = {"ledger": ("inventory_tests", ["~[.]"]), "bound": ("planner_tests", ["[bound]"]),
            "audit": ("planner_tests", ["[audit]"])}


TESTS_LAST_AT_MOST_S = 600


def compiled(source, text):
    """An object file of the text in place of the source; None where it does not compile."""
    commands = json.loads((BUILD / "compile_commands.json").read_text())
    command = next(shlex.split(c["command"]) for c in commands if c["file"] == str(ROOT / source))
    broken, result = PLACE / pathlib.Path(source).name, PLACE / "broken.o"
    broken.write_text(text)
    command[command.index("-o") + 1] = str(result)
    command[command.index("-c") + 1] = str(broken)
    # What a broken rule leaves unused is no reason to stop; a header beside the source is found as before.
    command = [c for c in command if c != "-Werror"] + ["-I", str((ROOT / source).parent)]
    done = subprocess.run(command, cwd=BUILD, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    return result if done.returncode == 0 else None


def linked(program, broken):
    """The test program with the broken object before the libraries."""
    listed = subprocess.check_output(["ninja", "-C", str(BUILD), "-t", "commands", program], text=True)
    link = shlex.split(re.sub(r"^: && | && .*$", "", listed.strip().splitlines()[-1]))
    result = PLACE / program
    link[link.index("-o") + 1] = str(result)
    link.insert(link.index("-o"), str(broken))
    subprocess.run(link, cwd=BUILD, check=True)
    return result


def passes(program, filters):
    try:
        done = subprocess.run([program, "--abort", *filters], cwd=PLACE, stdout=subprocess.PIPE,
                              stderr=subprocess.STDOUT, timeout=TESTS_LAST_AT_MOST_S)
        return done.returncode == 0
    except subprocess.TimeoutExpired:
        return False


def tried(program, filters, file, old, new):
    """What became of one mutation, in a word."""
    text = (ROOT / file).read_text()
    if old not in text:
        return "GONE"  # the rule has moved: this script is to be mended
    broken = compiled(file, text.replace(old, new, 1))
    if broken is None:
        return "no build"
    return "SURVIVED" if passes(linked(program, broken), filters) else "killed"


def main():
    asked = [a for a in sys.argv[1:] if not a.startswith("-")] or ["all"]
    PLACE.mkdir(parents=True, exist_ok=True)
    words = []
    for name in list(MUTATIONS) if asked == ["all"] else asked:
        program, filters = PROGRAMS[name]
        subprocess.run(["ninja", "-C", str(BUILD), program], check=True, stdout=subprocess.DEVNULL)
        # The same way with nothing broken: what is killed below is killed by its mutation.
        file = MUTATIONS[name][0][0]
        if not passes(linked(program, compiled(file, (ROOT / file).read_text())), filters):
            sys.exit(f"{program} does not pass as it is")
        for file, old, new in MUTATIONS[name][::16 if "--short" in sys.argv else 1]:
            words.append(tried(program, filters, file, old, new))
            print(f"{words[-1]:9} {file}: {old.strip()[:90]}", flush=True)
    killed = words.count("killed")
    print(f"{killed} killed, {len(words) - killed} not")
    sys.exit(0 if killed == len(words) else 1)


main()
