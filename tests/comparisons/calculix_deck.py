# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes a clamped stack of discs in contact as a CalculiX input deck.

Axisymmetric CAX8R, two elements through each thickness, radial step RADIAL_STEP_MM. Inner edges are held at
the clamp radius; discs touch without friction (face to face, stiff linear penalty); uniform pressure on the face
disc's underside between the port radii. One step a pressure. Lengths mm, pressures and moduli MPa.
"""
import dataclasses

RADIAL_STEP_MM = 0.1
LAYERS = 2
ELASTIC_MODULUS_MPA, POISSON = 206000, 0.3
CONTACT_STIFFNESS_MPA_PER_MM = 1e6
# CalculiX's contact is not linear, not even without NLGEOM. The small-deflection regime is therefore solved with
# pressures and gaps scaled down by this factor, and its lifts are scaled back.
SMALL_SCALE = 0.002


@dataclasses.dataclass
class Valve:
    clamp_radius_mm: float
    port_inner_radius_mm: float
    port_outer_radius_mm: float


@dataclasses.dataclass
class Disc:
    rim_radius_mm: float
    thickness_mm: float


@dataclasses.dataclass
class ContactPair:
    """Discs that can meet between a radius and the smaller rim, with the gap between them when unloaded."""
    lower: int
    upper: int
    from_radius_mm: float
    to_radius_mm: float
    gap_mm: float


def parse_discs(stack_text):
    """Discs from the piston face outward: "2 x 24 x 0.10, 1 x 14 x 0.10" (count x OD x thickness)."""
    discs = []
    for row in stack_text.split(","):
        count, od_mm, thickness_mm = (float(part) for part in row.split("x"))
        discs += [Disc(od_mm / 2, thickness_mm)] * int(count)
    return discs


def contact_pairs(discs, clamp_radius_mm):
    """Every two discs that see each other past the rims of those between them."""
    pairs = []
    for lower in range(len(discs)):
        hidden_to_mm, gap_mm = clamp_radius_mm, 0.0
        for upper in range(lower + 1, len(discs)):
            common_rim_mm = min(discs[lower].rim_radius_mm, discs[upper].rim_radius_mm)
            if common_rim_mm > hidden_to_mm:
                pairs.append(ContactPair(lower, upper, hidden_to_mm, common_rim_mm, gap_mm))
                hidden_to_mm = common_rim_mm
            gap_mm += discs[upper].thickness_mm
    return pairs


class DiscMesh:
    """One disc's nodes and elements; numbers start after those of the discs below it."""

    def __init__(self, disc, clamp_radius_mm, base_z_mm, node_offset, element_offset):
        self.columns = round((disc.rim_radius_mm - clamp_radius_mm) / RADIAL_STEP_MM)
        if abs(self.columns * RADIAL_STEP_MM + clamp_radius_mm - disc.rim_radius_mm) > 1e-9:
            raise ValueError(f"rim radius {disc.rim_radius_mm} mm is not on the {RADIAL_STEP_MM} mm grid")
        self.disc, self.clamp_radius_mm, self.base_z_mm = disc, clamp_radius_mm, base_z_mm
        self.node_offset, self.element_offset = node_offset, element_offset

    def node(self, i, j):
        """Number of the node at half step i along the radius and j through the thickness."""
        return self.node_offset + 1 + i + j * (2 * self.columns + 1)

    def element(self, column, layer):
        return self.element_offset + 1 + column + layer * self.columns

    def node_count(self):
        return (2 * self.columns + 1) * (2 * LAYERS + 1)

    def element_count(self):
        return self.columns * LAYERS

    def node_lines(self):
        for j in range(2 * LAYERS + 1):
            z_mm = self.base_z_mm + j * self.disc.thickness_mm / (2 * LAYERS)
            for i in range(2 * self.columns + 1):
                if i % 2 == 0 or j % 2 == 0:
                    r_mm = self.clamp_radius_mm + i * RADIAL_STEP_MM / 2
                    yield f"{self.node(i, j)}, {r_mm:.9f}, {z_mm:.9f}, 0"

    def element_lines(self):
        around = [(0, 0), (2, 0), (2, 2), (0, 2), (1, 0), (2, 1), (1, 2), (0, 1)]
        for layer in range(LAYERS):
            for column in range(self.columns):
                nodes = (self.node(2 * column + i, 2 * layer + j) for i, j in around)
                yield f"{self.element(column, layer)}, " + ", ".join(map(str, nodes))

    def held_nodes(self):
        return [self.node(0, j) for j in range(2 * LAYERS + 1)]

    def faces(self, layer, from_radius_mm, to_radius_mm):
        """Elements of a layer whose middle lies between two radii."""
        for column in range(self.columns):
            middle_mm = self.clamp_radius_mm + (column + 0.5) * RADIAL_STEP_MM
            if from_radius_mm < middle_mm < to_radius_mm:
                yield self.element(column, layer)


def meshes_of(discs, clamp_radius_mm):
    meshes, z_mm, nodes, elements = [], 0.0, 0, 0
    for disc in discs:
        mesh = DiscMesh(disc, clamp_radius_mm, z_mm, nodes, elements)
        meshes.append(mesh)
        z_mm += disc.thickness_mm
        nodes += mesh.node_count()
        elements += mesh.element_count()
    return meshes


def body_lines(meshes):
    yield "*NODE"
    for mesh in meshes:
        yield from mesh.node_lines()
    yield "*ELEMENT, TYPE=CAX8R, ELSET=DISCS"
    for mesh in meshes:
        yield from mesh.element_lines()
    yield from ["*MATERIAL, NAME=STEEL", "*ELASTIC", f"{ELASTIC_MODULUS_MPA}, {POISSON}",
                "*SOLID SECTION, ELSET=DISCS, MATERIAL=STEEL", "*NSET, NSET=HELD"]
    for mesh in meshes:
        yield ", ".join(map(str, mesh.held_nodes()))
    yield from ["*BOUNDARY", "HELD, 1, 2", "*NSET, NSET=EDGE", str(meshes[0].node(2 * meshes[0].columns, 0))]


def contact_lines(meshes, pairs, scale):
    if not pairs:
        return
    yield from ["*SURFACE INTERACTION, NAME=TOUCH", "*SURFACE BEHAVIOR, PRESSURE-OVERCLOSURE=LINEAR",
                f"{CONTACT_STIFFNESS_MPA_PER_MM}"]
    for number, pair in enumerate(pairs):
        limits_mm = pair.from_radius_mm, pair.to_radius_mm
        yield f"*SURFACE, NAME=UNDER{number}"
        yield from (f"{e}, S1" for e in meshes[pair.upper].faces(0, *limits_mm))
        yield f"*SURFACE, NAME=OVER{number}"
        yield from (f"{e}, S3" for e in meshes[pair.lower].faces(LAYERS - 1, *limits_mm))
        yield from ["*CONTACT PAIR, INTERACTION=TOUCH, TYPE=SURFACE TO SURFACE", f"UNDER{number}, OVER{number}"]
        if scale != 1 and pair.gap_mm > 0:
            yield f"*CLEARANCE, MASTER=OVER{number}, SLAVE=UNDER{number}, VALUE={pair.gap_mm * scale:.9f}"


def step_lines(loaded_elements, pressure_mpa):
    # The default test accepts residuals of 0.5 % and stops a contact solve too early.
    yield from ["*STEP, NLGEOM, INC=1000", "*STATIC", "1, 1, 1e-4", "*CONTROLS, PARAMETERS=FIELD",
                "1e-4, 1e-3, , , 1e-4", "*DLOAD, OP=NEW"]
    yield from (f"{e}, P1, {pressure_mpa:.9g}" for e in loaded_elements)
    yield from ["*NODE PRINT, NSET=EDGE, FREQUENCY=1000", "U", "*END STEP"]


def deck(valve, discs, pressures_mpa, regime):
    """The whole input file. `regime` is "small" or "large"; returns its text and the scale of its lifts."""
    scale = SMALL_SCALE if regime == "small" else 1
    meshes = meshes_of(discs, valve.clamp_radius_mm)
    pairs = contact_pairs(discs, valve.clamp_radius_mm)
    loaded = list(meshes[0].faces(0, valve.port_inner_radius_mm, valve.port_outer_radius_mm))
    lines = [*body_lines(meshes), *contact_lines(meshes, pairs, scale)]
    for pressure_mpa in pressures_mpa:
        lines += step_lines(loaded, pressure_mpa * scale)
    return "\n".join(lines) + "\n", scale
