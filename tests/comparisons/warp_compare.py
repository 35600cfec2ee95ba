#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Solves stacks past the onset of warping with CalculiX and holds the warp model against them; see README.md.

Arguments: the shimledger program, then names of stacks of warp_stacks.json (none: all). Each stack is solved for the
number of lobes that the model names and its neighbours; the one that leaves the round branch first counts.
"""
import json
import math
import pathlib
import subprocess
import sys
import tempfile

import calculix_deck
import warp_deck

HERE = pathlib.Path(__file__).resolve().parent
POINTS, LAST_LOAD = 24, 1.6  # up to this multiple of the load at which the model warps
IMPERFECTION_PART = 0.02     # of the face disc's thickness
SEEN_PART = 0.3              # of the thickness: an amplitude that counts as warped
CHECKED_LOAD = 1.5


def model_curve(program, stack, pressures_mpa=None, lift_mm=None):
    clamp_mm, inner_mm, outer_mm = (2 * radius for radius in stack["valve_radii_mm"])
    discs = [row.split("x") for row in stack["discs"].split(",")]
    document = {"valve": {"clamp_od_mm": clamp_mm, "port_inner_diameter_mm": inner_mm,
                          "port_outer_diameter_mm": outer_mm, "shim_id_mm": 3},
                "discs": [{"count": int(count), "od_mm": float(od), "thickness_mm": float(thickness)}
                          for count, od, thickness in discs]}
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "stack.json"
        path.write_text(json.dumps(document))
        how = ["--working-lift", str(lift_mm)] if lift_mm else ["--pressures", ",".join(map(str, pressures_mpa))]
        result = subprocess.run([program, "lift", str(path), "--model", "warp", "--json", *how],
                                capture_output=True, text=True)
    if result.returncode not in (0, 4):
        sys.exit(f"{stack['name']}: {result.stderr}")
    return json.loads(result.stdout)


def rims_of(dat_text, rim):
    """By step, the rim's rise at equal angles over half a lobe."""
    rows = [line.split() for line in dat_text.splitlines()]
    rises = [float(row[3]) for row in rows if len(row) >= 4 and row[0].isdigit()]
    return [rises[i:i + len(rim)] for i in range(0, len(rises) - len(rim) + 1, len(rim))]


def mean_and_amplitude(rises):
    """Trapezoidal over half a lobe, which is exact for its first harmonics."""
    parts = len(rises) - 1
    weights = [0.5 if j in (0, parts) else 1.0 for j in range(parts + 1)]
    mean = sum(w * z for w, z in zip(weights, rises)) / parts
    amplitude = 2 * sum(w * z * math.cos(math.pi * j / parts) for j, (w, z) in enumerate(zip(weights, rises))) / parts
    return mean, amplitude


def calculix_curve(stack, lobes, pressures_mpa):
    """(mean lift, lobed amplitude) at the first of the pressures, as many as were solved."""
    valve = calculix_deck.Valve(*stack["valve_radii_mm"])
    discs = calculix_deck.parse_discs(stack["discs"])
    text, rim = warp_deck.deck(valve, discs, lobes, pressures_mpa, IMPERFECTION_PART * discs[0].thickness_mm)
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder)
        (path / "stack.inp").write_text(text)
        subprocess.run(["ccx", "stack"], cwd=path, capture_output=True,
                       env={"OMP_NUM_THREADS": "1", "PATH": "/usr/bin:/bin"})
        return [mean_and_amplitude(rises) for rises in rims_of((path / "stack.dat").read_text(), rim)]


def onset_of(pressures_mpa, curve, thickness_mm):
    """(pressure, mean lift) where the squared amplitude's line through the first two warped points is 0."""
    warped = [i for i, (_, amplitude) in enumerate(curve) if abs(amplitude) > SEEN_PART * thickness_mm]
    if len(warped) < 2:
        return None
    a, b = warped[0], warped[0] + 1
    square_a, square_b = curve[a][1] ** 2, curve[b][1] ** 2
    pressure = pressures_mpa[a] - square_a * (pressures_mpa[b] - pressures_mpa[a]) / (square_b - square_a)
    points = list(zip([0, *pressures_mpa], [0, *(mean for mean, _ in curve)]))
    for (p0, lift0), (p1, lift1) in zip(points, points[1:]):
        if p0 <= pressure <= p1:
            return pressure, lift0 + (lift1 - lift0) * (pressure - p0) / (p1 - p0)
    return None


def compare(program, stack):
    model = model_curve(program, stack, lift_mm=stack["lift_mm"])
    if not model["onset"]:
        sys.exit(f"{stack['name']}: the model does not warp up to {stack['lift_mm']} mm")
    onset, thickness_mm = model["onset"], calculix_deck.parse_discs(stack["discs"])[0].thickness_mm
    last = LAST_LOAD * onset["pressure_mpa"]
    pressures = [round(last * (i + 1) / POINTS, 6) for i in range(POINTS)]
    found = {}
    for lobes in range(max(2, onset["lobes"] - 1), min(6, onset["lobes"] + 1) + 1):
        curve = calculix_curve(stack, lobes, pressures)
        solved = onset_of(pressures, curve, thickness_mm)
        told = f"onset {solved[0]:.4f} MPa, {solved[1]:.4f} mm" if solved else "none"
        print(f"  {stack['name']}, {lobes} lobes: {len(curve)} of {POINTS} loads solved, {told}", flush=True)
        if solved:
            found[lobes] = solved, curve
    if not found:
        return f"| {stack['name']} | `{stack['discs']}` | none up to {last:.3f} MPa | {onset['lift_mm']:.3f} | | |"
    lobes = min(found, key=lambda n: found[n][0][1])
    (pressure, lift), curve = found[lobes]
    ours = model_curve(program, stack, pressures_mpa=pressures[:len(curve)])["points"]
    differences = [(p, point["lift_mm"] / mean - 1) for p, point, (mean, _) in zip(pressures, ours, curve)
                   if p <= CHECKED_LOAD * pressure]
    for row in zip(pressures, (mean for mean, _ in curve), (point["lift_mm"] for point in ours)):
        print("    {:8.4f} MPa  {:8.4f}  {:8.4f}".format(*row))
    worst = max(differences, key=lambda pair: abs(pair[1]))
    radii = " / ".join(f"{radius:g}" for radius in stack["valve_radii_mm"])
    return (f"| {stack['name']} | {radii} | `{stack['discs']}` | {lift:.3f} mm, {lobes} lobes | "
            f"{onset['lift_mm']:.3f} mm, {onset['lobes']} lobes | {100 * (onset['lift_mm'] / lift - 1):+.1f} % | "
            f"{100 * worst[1]:+.1f} % at {worst[0]:.3f} MPa (to {differences[-1][0] / pressure:.2f} loads) |")


def main():
    program, *names = sys.argv[1:]
    stacks = json.loads((HERE / "warp_stacks.json").read_text())["stacks"]
    unknown = set(names) - {stack["name"] for stack in stacks}
    if unknown:
        sys.exit("warp_stacks.json has no " + ", ".join(sorted(unknown)))
    rows = []
    for stack in stacks:
        if not names or stack["name"] in names:
            rows.append(compare(program, stack))
            print(rows[-1], flush=True)
    print("\n| stack | clamp, port radii mm | discs | CalculiX | model | onset lift | mean lift, worst |")
    print("|---|---|---|---|---|---|---|")
    print("\n".join(rows))


if __name__ == "__main__":
    main()
