#!/usr/bin/env python3
"""Breaks rules on purpose, one at a time, in a copy of the tree; a test must fail for each.

usage: tests/analysis/mutations.py [ledger|bound|all] [--short]    (--short: the first three of each set)
A mutation that no test notices is printed as SURVIVED and makes the exit code 1.
"""
import pathlib
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
COPY = ROOT / "build/mutations/tree"
RULES = "inventory/ledger/movement_rules.cpp"
LINE = "inventory/ledger/line_context.cpp"
POSTING = "inventory/ledger/ledger_posting.cpp"
WRITER = "inventory/ledger/movement_writer.cpp"
LEDGER = "inventory/stock_ledger.cpp"
BOUNDS = "planner/substitute/curve_bounds.cpp"

# (file, what stands there once, what is put in its place)
MUTATIONS = {
    "ledger": [
        (RULES, "if (balance.available() >= needed) return;", "if (balance.on_hand >= needed) return;"),
        (RULES, "row.reserved_change = -from_own;", "row.reserved_change = 0;"),
        (RULES, "needAvailable(context, balance, \"issue\", quantity - from_own);", ""),
        (RULES, "row.on_hand_change = quantity - balance.on_hand;", "row.on_hand_change = quantity;"),
        (RULES, "if (balance.reserved == 0) return;", "return;"),
        (RULES, "if (own >= line.quantity) return;", "return;"),
        (RULES, "if (out >= line.quantity) return;", "return;"),
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
        (POSTING, "for (const std::int64_t job : m_jobs) refreshStatus(m_connection, job);", ""),
        (WRITER, "if (row.job && row.reserved_change != 0) changeReservation(m_connection, row);", ""),
        (WRITER, "SET on_hand = on_hand + ?4,", "SET on_hand = on_hand + 2 * ?4,"),
        (LEDGER, "if (planned_at && *planned_at != lastNumber(connection)) {", "if (false) {"),
        ("inventory/storage/transaction.cpp", "connection.execute(\"BEGIN IMMEDIATE\");", "connection.execute(\"BEGIN\");"),
        ("inventory/storage/transaction.cpp", "m_connection.database().exec(\"ROLLBACK\");\n        } else {",
         "m_connection.database().exec(\"COMMIT\");\n        } else {"),
        ("inventory/stock_verify.cpp", "if (found.stored != found.proved) report.differences.push_back(found);", ""),
    ],
    "bound": [
        (BOUNDS, "bending{1.6, ", "bending{0.2, "),
        (BOUNDS, "bending{1.6, 1.0}", "bending{1.6, 0.0}"),
        (BOUNDS, "stretching{3.0, ", "stretching{0.2, "),
        (BOUNDS, "gap_fall = 4.0", "gap_fall = -4.0"),
        (BOUNDS, "std::swap(soft[g].thickness_mm, stiff[g].thickness_mm)",
         "std::swap(soft[g].membrane_n_per_mm, stiff[g].membrane_n_per_mm)"),
        (BOUNDS, "m_trust.push_back(!no_kink ", "m_trust.push_back(false "),
    ],
}
PROGRAMS = {"ledger": ("inventory_tests", ["~[.]"]), "bound": ("planner_tests", ["[bound]"])}


def run(command, **options):
    return subprocess.run(command, cwd=COPY, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, **options)


def prepare():
    COPY.mkdir(parents=True, exist_ok=True)
    names = subprocess.check_output(["git", "ls-files", "-z"], cwd=ROOT).decode().split("\0")
    for name in filter(None, names):
        source, target = ROOT / name, COPY / name
        if not source.is_file():
            continue
        target.parent.mkdir(parents=True, exist_ok=True)
        data = source.read_bytes()
        if not target.is_file() or target.read_bytes() != data:
            target.write_bytes(data)
    return run(["cmake", "--preset", "release", "-DSHIMLEDGER_DESK=OFF"]).returncode == 0


def passes(program, filters):
    """None where it does not compile, else whether the tests pass."""
    built = run(["ninja", "-C", "build/release", program])
    if built.returncode != 0:
        return None
    try:
        return run([f"build/release/bin/{program}", "--abort", *filters], timeout=600).returncode == 0
    except subprocess.TimeoutExpired:
        return False


def main():
    asked = [a for a in sys.argv[1:] if not a.startswith("-")] or ["all"]
    sets = list(MUTATIONS) if asked == ["all"] else asked
    if not prepare():
        sys.exit("the copy cannot be configured")
    survived = killed = 0
    for name in sets:
        program, filters = PROGRAMS[name]
        if passes(program, filters) is not True:
            sys.exit(f"{program} does not pass as it is")
        chosen = MUTATIONS[name][:3] if "--short" in sys.argv else MUTATIONS[name]
        for file, old, new in chosen:
            target = COPY / file
            text = target.read_text()
            if text.count(old) < 1:
                print(f"GONE      {file}: {old}  (the rule has moved: mend this script)", flush=True)
                survived += 1
                continue
            target.write_text(text.replace(old, new, 1))
            result = passes(program, filters)
            target.write_text(text)
            word = {None: "no build ", True: "SURVIVED ", False: "killed   "}[result]
            survived += result is not False
            killed += result is False
            print(f"{word} {file}: {old.strip()[:90]}", flush=True)
    print(f"{killed} killed, {survived} not")
    sys.exit(1 if survived else 0)


main()
