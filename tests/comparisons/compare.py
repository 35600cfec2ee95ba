#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Solves stacks afresh with CalculiX and compares lift and time with the engine; README.md says how to run it.

Arguments: the engine_curve program, then names of stacks of stacks.json (none: all). Times are processor seconds of one
thread, so that other work on the machine weighs little on either side.
"""
import json
import pathlib
import resource
import subprocess
import sys
import tempfile

import calculix_deck

HERE = pathlib.Path(__file__).resolve().parent
REGIMES = ["small", "large"]
GOAL_RATIO = 100_000


def children_seconds():
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime


def lifts_printed(dat_text):
    """Axial displacements of the one printed node, a row a step: node, radial, axial, hoop."""
    rows = [line.split() for line in dat_text.splitlines()]
    return [float(row[2]) for row in rows if len(row) == 4 and row[0].isdigit()]


def calculix_curve(valve, stack, regime):
    """Lifts in mm at the stack's pressures, and the seconds they took."""
    discs = calculix_deck.parse_discs(stack["discs"])
    text, scale = calculix_deck.deck(valve, discs, stack["pressures_mpa"], regime)
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder)
        (path / "stack.inp").write_text(text)
        start = children_seconds()
        result = subprocess.run(["ccx", "stack"], cwd=path, capture_output=True, text=True,
                                env={"OMP_NUM_THREADS": "1", "PATH": "/usr/bin:/bin"})
        seconds = children_seconds() - start
        lifts_mm = [lift / scale for lift in lifts_printed((path / "stack.dat").read_text())]
    if result.returncode or len(lifts_mm) != len(stack["pressures_mpa"]):
        sys.exit(f"CalculiX did not finish {stack['name']} ({regime}):\n" + result.stdout[-1500:])
    return lifts_mm, seconds


def engine_curve(program, valve, stack, regime):
    """Lifts in mm, mean seconds of a curve, and mean seconds of the tables made once for all such stacks."""
    diameters_mm = [2 * radius for radius in (valve.clamp_radius_mm, valve.port_inner_radius_mm,
                                              valve.port_outer_radius_mm)]
    arguments = [regime, *diameters_mm, stack["discs"], *stack["pressures_mpa"]]
    printed = subprocess.run([program, *map(str, arguments)], check=True, capture_output=True, text=True).stdout
    curve_seconds, table_seconds, *lifts_mm = map(float, printed.split())
    return lifts_mm, curve_seconds, table_seconds


def compare(program, valve, stack, regime):
    solved_mm, calculix_seconds = calculix_curve(valve, stack, regime)
    engine_mm, curve_seconds, table_seconds = engine_curve(program, valve, stack, regime)
    print(f"\n{stack['name']} ({stack['discs']}), {regime} deflection")
    print("  pressure MPa  CalculiX mm  engine mm  difference")
    differences = [100 * (ours / theirs - 1) for ours, theirs in zip(engine_mm, solved_mm)]
    for row in zip(stack["pressures_mpa"], solved_mm, engine_mm, differences):
        print("  {:12.4f}  {:11.5f}  {:9.5f}  {:+8.2f} %".format(*row))
    ratio, first_ratio = calculix_seconds / curve_seconds, calculix_seconds / (curve_seconds + table_seconds)
    print(f"  CalculiX {calculix_seconds:.1f} s, engine {1e6 * curve_seconds:.1f} us: {ratio:,.0f} times as fast"
          f" (tables, once for an order of diameters, {1e6 * table_seconds:.0f} us; with them {first_ratio:,.0f})",
          flush=True)
    return {"stack": stack["name"], "regime": regime, "worst": max(differences, key=abs), "ratio": ratio,
            "first_ratio": first_ratio, "calculix_seconds": calculix_seconds, "curve_seconds": curve_seconds}


def print_summary(results):
    print("\n| stack | regime | worst difference | CalculiX | engine | ratio | with tables |")
    print("|---|---|---|---|---|---|---|")
    for r in results:
        print(f"| {r['stack']} | {r['regime']} | {r['worst']:+.2f} % | {r['calculix_seconds']:.1f} s "
              f"| {1e6 * r['curve_seconds']:.1f} us | {r['ratio']:,.0f} | {r['first_ratio']:,.0f} |")
    reached = sum(r["ratio"] > GOAL_RATIO for r in results)
    print(f"\nMore than {GOAL_RATIO:,} times as fast in {reached} of {len(results)} curves.")


def main():
    program, *names = sys.argv[1:]
    document = json.loads((HERE / "stacks.json").read_text())
    unknown = set(names) - {stack["name"] for stack in document["stacks"]}
    if unknown:
        sys.exit("stacks.json has no " + ", ".join(sorted(unknown)))
    valve = calculix_deck.Valve(**document["valve"])
    chosen = [stack for stack in document["stacks"] if not names or stack["name"] in names]
    print_summary([compare(program, valve, stack, regime) for stack in chosen for regime in REGIMES])


if __name__ == "__main__":
    main()
