# SPDX-License-Identifier: GPL-3.0-or-later
"""Proves the situation of each open job from the CSV files and the replayed balances alone."""

import collections
import itertools

from generator.tables import micrometres

# job -> (ODs and thicknesses whose pieces fall short, consumables that fall short), as the README tells it
_STORIES = {
    "JOB-1001": ([], []),
    "JOB-1002": ([("24.0", "0.10")], []),
    "JOB-1003": ([("22.0", "0.15")], []),
    "JOB-1004": ([("16.0", "0.10")], []),
    "JOB-1005": ([("25.0", "0.15")], []),
    "JOB-1006": ([], ["OS-48-59-11"]),
    "JOB-1007": ([], []), "JOB-1008": ([], []), "JOB-1009": ([], []), "JOB-1010": ([], []),
}
_DELIBERATE_RIVALS = {("JOB-1002", "JOB-1007")}  # over 24.0 x 0.10, bore 6
# A substitute group whose cube sum and thickness are both this near makes the job answerable; the whole
# stack deviates less, because the other rows stay as they are. A crossover must match exactly.
_NEAR_ENOUGH = 0.25


def check_jobs(files, balance, expect):
    sizes = {r["part"]: (r["id_mm"], r["od_mm"], r["thickness_mm"]) for r in files["parts.csv"] if r["kind"] == "shim"}
    on_hand, new_only, parts = collections.Counter(), collections.Counter(), collections.Counter()
    for (part, _, condition), quantity in balance.items():
        parts[part] += quantity
        if part in sizes:
            on_hand[sizes[part]] += quantity
            new_only[sizes[part]] += quantity * (condition == "new")
    consumables = collections.defaultdict(dict)
    for row in files["job_consumables.csv"]:
        consumables[row["job"]][row["part"]] = int(row["quantity"])
    expect({job["job"] for job in files["jobs.csv"]} == set(_STORIES), "jobs and stories differ")
    needs = {}
    for job in files["jobs.csv"]:
        name, legs = job["job"], int(job["legs"])
        stacks = collections.defaultdict(list)
        for row in files["job_stacks.csv"]:
            if row["job"] == name:
                stacks[row["role"], int(row["leg"])].append(row)
        expect(set(stacks) == {("target", 0)} | {("as_found", leg) for leg in range(1, legs + 1)}, f"{name}: legs are missing")
        for (role, _), rows in stacks.items():
            _check_stack(job, role, rows, sizes, expect)
        need = collections.Counter()
        for row in stacks["target", 0]:
            need[job["shim_id_mm"], row["od_mm"], row["thickness_mm"]] += legs * int(row["count"])
        needs[name] = need
        short = [(od, thickness) for (bore, od, thickness), n in need.items() if on_hand[bore, od, thickness] < n]
        missing = [part for part, n in consumables[name].items() if parts[part] < n]
        expect((short, missing) == _STORIES[name], f"{name}: short of {short} and {missing}")
        print(f"  {name}: " + _verdict(job, need, on_hand, short, missing, expect))
    expect(any(n > new_only[size] for size, n in needs["JOB-1009"].items()), "JOB-1009: new discs alone would do")
    _check_rivals(needs, on_hand, expect)


def _check_stack(job, role, rows, sizes, expect):
    name = job["job"]
    expect([int(r["position"]) for r in rows] == list(range(1, len(rows) + 1)), f"{name}: positions have a hole")
    shaft, clamp, inner, outer = (micrometres(job[c]) for c in ("shim_id_mm", "clamp_od_mm", "port_inner_diameter_mm",
                                                                 "port_outer_diameter_mm"))
    face = micrometres(rows[0]["od_mm"])
    expect(shaft < clamp < inner < outer < face, f"{name}: shaft, clamp, ports and face are out of order")
    if job["seat_diameter_mm"]:
        expect(outer <= micrometres(job["seat_diameter_mm"]) <= face, f"{name}: the seat is not between ports and face")
    expect(all(micrometres(r["od_mm"]) >= clamp for r in rows), f"{name}: a disc below the clamp")
    expect(micrometres(rows[-1]["od_mm"]) == clamp, f"{name}: the stack does not end in its clamp shim")
    for row in rows:  # a reading in an as-found stack is within 5 um of a size in the catalogue
        near = [s for s in sizes.values() if s[:2] == (job["shim_id_mm"], row["od_mm"])
                and abs(micrometres(s[2]) - micrometres(row["thickness_mm"])) <= (5 if role == "as_found" else 0)]
        expect(near, f"{name}: {role} {row['od_mm']} x {row['thickness_mm']} is no size of the catalogue")


def _verdict(job, need, on_hand, short, missing, expect):
    legs = int(job["legs"])
    if missing:
        return "stack buildable, short of " + ", ".join(missing)
    if not short:
        return "buildable"
    od, thickness = short[0]
    bore = job["shim_id_mm"]
    per_leg = [(t, n // legs) for (b, o, t), n in on_hand.items() if (b, o) == (bore, od) and n >= legs]
    if job["job"] == "JOB-1005":
        expect(not per_leg, f"{job['job']}: some thickness of {od} would do")
        pieces = sum(n for (b, o, _), n in on_hand.items() if (b, o) == (bore, od))
        return f"impossible: {pieces} disc of {od} x {bore} in the whole shop, {legs} legs"
    wanted = need[bore, od, thickness] // legs
    target_s1, target_s3 = wanted * micrometres(thickness), wanted * micrometres(thickness) ** 3
    crossover = job["job"] == "JOB-1004"
    best = None
    for counts in itertools.product(*(range(min(n, 8) + 1) for _, n in per_leg)):
        s1 = sum(n * micrometres(t) for n, (t, _) in zip(counts, per_leg))
        s3 = sum(n * micrometres(t) ** 3 for n, (t, _) in zip(counts, per_leg))
        if sum(counts) == 0:
            continue
        deviation = abs(s1 - target_s1) / target_s1 if crossover else max(abs(s3 / target_s3 - 1), abs(s1 / target_s1 - 1))
        if best is None or deviation < best[0]:
            best = (deviation, " + ".join(f"{n} x {od} x {t}" for n, (t, _) in zip(counts, per_leg) if n))
    expect(best and best[0] <= (0 if crossover else _NEAR_ENOUGH), f"{job['job']}: no substitute is near, best {best}")
    held = on_hand[bore, od, thickness]
    return (f"{wanted * legs} x {od} x {thickness} wanted, {held} held; for example {best[1]} per leg, "
            f"{'thickness' if crossover else 'cube sum and thickness'} within {100 * best[0]:.1f} %")


def _check_rivals(needs, on_hand, expect):
    """No two jobs that could each be built alone want the same last discs, but for the deliberate pair."""
    for a, b in itertools.combinations(sorted(needs), 2):
        for size in needs[a].keys() & needs[b].keys():
            fight = needs[a][size] + needs[b][size] > on_hand[size]
            expect(not fight or (a, b) in _DELIBERATE_RIVALS, f"{a} and {b} fight over {size}")
