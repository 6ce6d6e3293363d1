"""Modes and sag of plane frameworks by scipy: the generalised symmetric eigenproblem K x = w2 M x, and K u = f.

A framework is nodes (x, z in m), beams and springs between points fixed to nodes or to the ground (node -1), and masses
fixed to nodes.

    beams    node, x, z of either end; EA in N, EI in N m2, mass per length in kg/m
    springs  node and node, x, z of the point; stiffness along x and z in N/m, against turning in N m/rad
    masses   node; x, z of the centre of gravity; mass in kg, moment of inertia about it in kg m2

Stiffness and mass of a beam are integrals of its shape functions by Gauss' rule, in the beam's own direction; what a
point does is worked out from the shift and turn of its node, never from a ready matrix.
"""

import numpy as np
import scipy
from scipy.linalg import cho_factor, cho_solve, eigh

from _fixture import write

SEED = 8
G = 9.80665
POINTS, WEIGHTS = np.polynomial.legendre.leggauss(5)


def fixture():
    random = np.random.Generator(np.random.PCG64(SEED))
    return {
        "what": "modes and sag of random plane frameworks",
        "generator": "tests/references/beams.py",
        "seed": SEED,
        "generated_with": {"scipy": scipy.__version__, "numpy": np.__version__},
        "cases": [solved(random) for _ in range(60)],
    }


def solved(random):
    case = framework(random)
    stiffness, mass, load = assembled(case)
    values = eigh(stiffness, mass, eigvals_only=True)
    sag = cho_solve(cho_factor(stiffness), load)
    return {**case, "hz": (np.sqrt(values[:4]) / (2 * np.pi)).tolist(), "sag": sag.tolist()}


def framework(random):
    """A tree of beams from the ground with a few springs across, and offsets of some centimetres everywhere."""
    count = int(random.integers(2, 9))
    nodes = [np.round(random.uniform(-0.3, 0.3, 2), 3).tolist() for _ in range(count)]
    beams, springs = [], []
    for node in range(count):
        other = int(random.integers(-1, node)) if node else -1
        if random.random() < 0.6:
            beams.append([*end(random, nodes, other), *end(random, nodes, node), 10 ** random.uniform(6, 8),
                          10 ** random.uniform(2, 5), random.uniform(0.1, 5.0)])
        else:
            springs.append(spring(random, nodes, other, node))
    for _ in range(int(random.integers(0, 3))):
        one, other = sorted(random.choice(count, 2, replace=False).tolist())
        springs.append(spring(random, nodes, one, other))
    masses = [[node, *near(random, nodes, node), random.uniform(0.05, 6.0), random.uniform(1e-4, 5e-2)]
              for node in range(count)]
    return {"nodes": nodes, "beams": beams, "springs": springs, "masses": masses}


def near(random, nodes, node):
    home = nodes[node] if node >= 0 else random.uniform(-0.3, 0.3, 2)
    return np.round(home + random.uniform(-0.05, 0.05, 2), 4).tolist()


def end(random, nodes, node):
    return [node, *near(random, nodes, node)]


def spring(random, nodes, one, other):
    return [one, other, *near(random, nodes, other), 10 ** random.uniform(5, 7), 10 ** random.uniform(5, 7),
            10 ** random.uniform(3, 5)]


def point(nodes, node, x, z):
    """Shift and turn of a point as rows over all freedoms."""
    rows = np.zeros((3, 3 * len(nodes)))
    if node >= 0:
        at = 3 * node
        rows[0, at], rows[0, at + 2] = 1.0, -(z - nodes[node][1])
        rows[1, at + 1], rows[1, at + 2] = 1.0, x - nodes[node][0]
        rows[2, at + 2] = 1.0
    return rows


def assembled(case):
    nodes = case["nodes"]
    size = 3 * len(nodes)
    stiffness, mass, load = np.zeros((size, size)), np.zeros((size, size)), np.zeros(size)
    for n1, x1, z1, n2, x2, z2, ea, ei, per_m in case["beams"]:
        length = np.hypot(x2 - x1, z2 - z1)
        along = np.array([x2 - x1, z2 - z1]) / length
        across = np.array([-along[1], along[0]])
        ends = [point(nodes, n1, x1, z1), point(nodes, n2, x2, z2)]
        axial = [along @ each[:2] for each in ends]
        bent = [across @ ends[0][:2], ends[0][2], across @ ends[1][:2], ends[1][2]]
        for s, weight in zip((POINTS + 1) / 2, WEIGHTS / 2 * length):
            strain = (axial[1] - axial[0]) / length
            curve = (np.array([12 * s - 6, length * (6 * s - 4), 6 - 12 * s, length * (6 * s - 2)]) / length**2) @ bent
            stiffness += weight * (ea * np.outer(strain, strain) + ei * np.outer(curve, curve))
            shift = (1 - s) * axial[0] + s * axial[1]
            shapes = [1 - 3 * s**2 + 2 * s**3, length * (s - 2 * s**2 + s**3), 3 * s**2 - 2 * s**3, length * (s**3 - s**2)]
            sway = np.array(shapes) @ bent
            mass += weight * per_m * (np.outer(shift, shift) + np.outer(sway, sway))
            load += weight * per_m * -G * (along[1] * shift + across[1] * sway)
    for one, other, x, z, *each in case["springs"]:
        give = point(nodes, other, x, z) - point(nodes, one, x, z)
        for row, k in zip(give, each):
            stiffness += k * np.outer(row, row)
    for node, x, z, kg, inertia in case["masses"]:
        rows = point(nodes, node, x, z)
        for row, m in zip(rows, (kg, kg, inertia)):
            mass += m * np.outer(row, row)
        load += -G * kg * rows[1]
    return stiffness, mass, load


if __name__ == "__main__":
    write("beams", fixture())
