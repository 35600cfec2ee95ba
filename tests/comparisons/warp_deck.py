# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes one lobe's half of a stack of discs, in three dimensions, as a CalculiX input deck.

A sector of pi/n with symmetry planes at both ends holds n lobes round the disc. C3D20R, one element through the
thickness, ALONG_RADIUS along the radius, ROUND_SECTOR round the sector, large displacements, frictionless
contact, inner edges held, pressure on the face disc's underside between the port radii, and a starting shape
a s^2 cos(n theta), s = (r - r_c)/(R_max - r_c), which leads off the round branch. Identical touching discs are
one disc of as many times the modulus, which is exact without friction. Lengths mm, pressures and moduli MPa.
"""
import math

import calculix_deck

ALONG_RADIUS, ROUND_SECTOR = 16, 8
ELASTIC_MODULUS_MPA, POISSON = 206000, 0.3


def grouped(discs):
    """(disc, how many touch) from the face on."""
    groups = []
    for disc in discs:
        if groups and groups[-1][0].rim_radius_mm == disc.rim_radius_mm \
                and groups[-1][0].thickness_mm == disc.thickness_mm:
            groups[-1][1] += 1
        else:
            groups.append([disc, 1])
    return groups


def radial_lines(clamp_mm, rim_mm, edges_mm, most_mm):
    """Radii of element edges: every edge inside the disc, and steps of at most `most_mm` between them."""
    breaks = sorted({clamp_mm, rim_mm} | {edge for edge in edges_mm if clamp_mm < edge < rim_mm})
    lines = [breaks[0]]
    for low, high in zip(breaks, breaks[1:]):
        parts = math.ceil((high - low) / most_mm - 1e-9)
        lines += [low + (high - low) * part / parts for part in range(1, parts + 1)]
    return lines


class SectorMesh:
    """One disc's nodes and elements; i along half steps of the radius, j round, k through the thickness."""

    def __init__(self, radii_mm, thickness_mm, base_z_mm, lobes, node_offset, element_offset):
        self.radii_mm, self.thickness_mm, self.base_z_mm, self.lobes = radii_mm, thickness_mm, base_z_mm, lobes
        self.columns = len(radii_mm) - 1
        self.node_offset, self.element_offset = node_offset, element_offset

    def node(self, i, j, k):
        return self.node_offset + 1 + i + (2 * self.columns + 1) * (j + (2 * ROUND_SECTOR + 1) * k)

    def element(self, column, sector):
        return self.element_offset + 1 + column + self.columns * sector

    def node_count(self):
        return (2 * self.columns + 1) * (2 * ROUND_SECTOR + 1) * 3

    def element_count(self):
        return self.columns * ROUND_SECTOR

    def radius(self, i):
        if i % 2 == 0:
            return self.radii_mm[i // 2]
        return (self.radii_mm[i // 2] + self.radii_mm[i // 2 + 1]) / 2

    def angle(self, j):
        return math.pi / self.lobes * j / (2 * ROUND_SECTOR)

    def places(self):
        """(i, j, k) of every node: corners and middles of edges."""
        for k in range(3):
            for j in range(2 * ROUND_SECTOR + 1):
                for i in range(2 * self.columns + 1):
                    if i % 2 + j % 2 + k % 2 <= 1:
                        yield i, j, k

    def node_lines(self, starting_rise):
        for i, j, k in self.places():
            r_mm, angle = self.radius(i), self.angle(j)
            z_mm = self.base_z_mm + self.thickness_mm * k / 2 + starting_rise(r_mm) * math.cos(self.lobes * angle)
            yield f"{self.node(i, j, k)}, {r_mm * math.cos(angle):.12f}, {r_mm * math.sin(angle):.12f}, {z_mm:.12f}"

    def element_lines(self):
        corners = [(0, 0), (2, 0), (2, 2), (0, 2)]
        middles = [(1, 0), (2, 1), (1, 2), (0, 1)]
        order = [(i, j, 0) for i, j in corners] + [(i, j, 2) for i, j in corners] \
            + [(i, j, 0) for i, j in middles] + [(i, j, 2) for i, j in middles] + [(i, j, 1) for i, j in corners]
        for sector in range(ROUND_SECTOR):
            for column in range(self.columns):
                nodes = [str(self.node(2 * column + i, 2 * sector + j, k)) for i, j, k in order]
                yield f"{self.element(column, sector)}, " + ", ".join(nodes[:10]) + ",\n" + ", ".join(nodes[10:])

    def nodes_where(self, wanted):
        return [self.node(i, j, k) for i, j, k in self.places() if wanted(i, j, k)]

    def between(self, from_mm, to_mm):
        for column in range(self.columns):
            if from_mm < (self.radii_mm[column] + self.radii_mm[column + 1]) / 2 < to_mm:
                yield from (self.element(column, sector) for sector in range(ROUND_SECTOR))

    def rim_nodes(self):
        return [self.node(2 * self.columns, j, 0) for j in range(2 * ROUND_SECTOR + 1)]


def numbers(values):
    values = list(map(str, values))
    return [", ".join(values[i:i + 12]) for i in range(0, len(values), 12)]


def deck(valve, discs, lobes, pressures_mpa, imperfection_mm):
    """The whole input file, and the rim's nodes in the order of the angle."""
    groups = grouped(discs)
    rims = [disc.rim_radius_mm for disc, _ in groups]
    edges = rims + [valve.port_inner_radius_mm, valve.port_outer_radius_mm]
    most_mm = (max(rims) - valve.clamp_radius_mm) / ALONG_RADIUS
    meshes, z_mm, nodes, elements = [], 0.0, 0, 0
    for disc, count in groups:
        mesh = SectorMesh(radial_lines(valve.clamp_radius_mm, disc.rim_radius_mm, edges, most_mm),
                          disc.thickness_mm, z_mm, lobes, nodes, elements)
        meshes.append(mesh)
        z_mm += count * disc.thickness_mm  # clamped height; the middle of a run of discs plays no part
        nodes += mesh.node_count()
        elements += mesh.element_count()
    # Each run of discs is one disc high, so what follows it sits that much lower: no gap where discs touch.
    z_mm = 0.0
    for mesh in meshes:
        mesh.base_z_mm = z_mm
        z_mm += mesh.thickness_mm

    def starting_rise(r_mm):
        s = (r_mm - valve.clamp_radius_mm) / (max(rims) - valve.clamp_radius_mm)
        return imperfection_mm * s * s

    lines = ["*NODE"]
    for mesh in meshes:
        lines += mesh.node_lines(starting_rise)
    for g, (mesh, (_, count)) in enumerate(zip(meshes, groups)):
        lines += [f"*ELEMENT, TYPE=C3D20R, ELSET=DISC{g}", *mesh.element_lines(), f"*MATERIAL, NAME=STEEL{g}",
                  "*ELASTIC", f"{count * ELASTIC_MODULUS_MPA}, {POISSON}",
                  f"*SOLID SECTION, ELSET=DISC{g}, MATERIAL=STEEL{g}"]
    first = [n for mesh in meshes for n in mesh.nodes_where(lambda i, j, k: j == 0 and i > 0)]
    last = [n for mesh in meshes for n in mesh.nodes_where(lambda i, j, k: j == 2 * ROUND_SECTOR and i > 0)]
    held = [n for mesh in meshes for n in mesh.nodes_where(lambda i, j, k: i == 0)]
    rim = meshes[0].rim_nodes()
    lines += ["*NSET, NSET=FIRST", *numbers(first), "*NSET, NSET=LAST", *numbers(last), "*NSET, NSET=HELD",
              *numbers(held), "*NSET, NSET=RIM", *numbers(rim),
              "*TRANSFORM, NSET=LAST, TYPE=C", "0, 0, 0, 0, 0, 1", "*BOUNDARY", "FIRST, 2, 2", "LAST, 2, 2",
              "HELD, 1, 3"]
    # Contacts see single discs: gaps are what lies between in the real stack, and runs are one disc high.
    pairs = calculix_deck.contact_pairs([disc for disc, _ in groups], valve.clamp_radius_mm)
    pairs = [(pair, sum(groups[g][1] * groups[g][0].thickness_mm for g in range(pair.lower + 1, pair.upper)))
             for pair in pairs]
    if pairs:
        lines += ["*SURFACE INTERACTION, NAME=TOUCH", "*SURFACE BEHAVIOR, PRESSURE-OVERCLOSURE=LINEAR", "1e6"]
    for number, (pair, gap_mm) in enumerate(pairs):
        limits_mm = pair.from_radius_mm, pair.to_radius_mm
        lines += [f"*SURFACE, NAME=UNDER{number}", *(f"{e}, S1" for e in meshes[pair.upper].between(*limits_mm)),
                  f"*SURFACE, NAME=OVER{number}", *(f"{e}, S2" for e in meshes[pair.lower].between(*limits_mm)),
                  "*CONTACT PAIR, INTERACTION=TOUCH, TYPE=SURFACE TO SURFACE", f"UNDER{number}, OVER{number}"]
        if gap_mm > 0 and any(count > 1 for _, count in groups[pair.lower + 1:pair.upper]):
            raise ValueError("a run of discs between two that meet is not written")
    loaded = list(meshes[0].between(valve.port_inner_radius_mm, valve.port_outer_radius_mm))
    for pressure_mpa in pressures_mpa:
        lines += ["*STEP, NLGEOM, INC=1000", "*STATIC", "1, 1, 1e-4", "*CONTROLS, PARAMETERS=FIELD",
                  "1e-4, 1e-3, , , 1e-4", "*DLOAD, OP=NEW", *(f"{e}, P1, {pressure_mpa:.9g}" for e in loaded),
                  "*NODE PRINT, NSET=RIM, FREQUENCY=1000", "U", "*END STEP"]
    return "\n".join(lines) + "\n", rim
