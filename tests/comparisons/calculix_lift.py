#!/usr/bin/env python3
"""Solves a lone disc afresh with CalculiX and compares its lift with the engine's.

Axisymmetric CAX8R, two elements through the thickness, inner edge held, large displacements with a
following pressure between the port radii. Arguments: the engine's lifts; README.md says how to get them.
"""
import pathlib
import subprocess
import sys
import tempfile
import time

CLAMP, PORT_IN, PORT_OUT, RIM, THICK = 5.0, 6.5, 10.0, 12.0, 0.15
PRESSURES = [0.0275, 0.11, 0.22]
STEP, LAYERS = 0.05, 2


def deck(pressure):
    columns, rows = round((RIM - CLAMP) / STEP), LAYERS
    number = lambda i, j: 1 + i + j * (2 * columns + 1)
    lines = ["*NODE, NSET=ALL"]
    for j in range(2 * rows + 1):
        for i in range(2 * columns + 1):
            if i % 2 and j % 2:
                continue
            lines.append(f"{number(i, j)}, {CLAMP + i * STEP / 2:.6f}, {j * THICK / (2 * rows):.6f}, 0")
    lines.append("*ELEMENT, TYPE=CAX8R, ELSET=DISC")
    loads, element = [], 0
    for j in range(0, 2 * rows, 2):
        for i in range(0, 2 * columns, 2):
            element += 1
            corners = [(i, j), (i + 2, j), (i + 2, j + 2), (i, j + 2),
                       (i + 1, j), (i + 2, j + 1), (i + 1, j + 2), (i, j + 1)]
            lines.append(f"{element}, " + ", ".join(str(number(*c)) for c in corners))
            middle = CLAMP + (i + 1) * STEP / 2
            if j == 0 and PORT_IN < middle < PORT_OUT:
                loads.append(f"{element}, P1, {pressure}")
    held = [str(number(0, j)) for j in range(2 * rows + 1)]
    lines += ["*MATERIAL, NAME=STEEL", "*ELASTIC", "206000, 0.3", "*SOLID SECTION, ELSET=DISC, MATERIAL=STEEL",
              "*NSET, NSET=HELD", ", ".join(held), "*BOUNDARY", "HELD, 1, 2",
              "*NSET, NSET=EDGE", str(number(2 * columns, 0)),
              "*STEP, NLGEOM", "*STATIC", "0.1, 1", "*DLOAD", *loads,
              "*NODE PRINT, NSET=EDGE, FREQUENCY=999", "U", "*END STEP"]
    return "\n".join(lines) + "\n"


def lift(pressure):
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder)
        (path / "disc.inp").write_text(deck(pressure))
        start = time.perf_counter()
        subprocess.run(["ccx", "disc"], cwd=path, check=True, stdout=subprocess.DEVNULL,
                       env={"OMP_NUM_THREADS": "1", "PATH": "/usr/bin:/bin"})
        seconds = time.perf_counter() - start
        values = [line.split() for line in (path / "disc.dat").read_text().splitlines() if line.strip()]
        return float(values[-1][2]), seconds


def main():
    engine = [float(text) for text in sys.argv[1:]]
    for i, pressure in enumerate(PRESSURES):
        solved, seconds = lift(pressure)
        text = f"{pressure:.4f} MPa: CalculiX lifts {solved:.5f} mm in {seconds:.2f} s"
        if i < len(engine):
            text += f", engine {engine[i]:.5f} mm, difference {100 * (engine[i] / solved - 1):+.2f} %"
        print(text)


if __name__ == "__main__":
    main()
