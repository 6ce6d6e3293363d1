"""Marks by scipy's bounded least squares, axis by axis from the inside out.

A chain is a list of joints, platform first. What stands on a joint, in order: a body, then a slide and a body again and
again, then the next joint; everything later moves with every slide before it.

    joint   axis x y z; origin x y z in m, from the joint outside it with every slide at zero
    slides  direction x y z; lowest and highest mark, mark of zero displacement, present mark in m; hole spacing in m, or 0
    bodies  mass in kg; centre of gravity x y z in m from the point of the joint

The rule that is checked: the innermost joint takes the slides that change its unbalance to the bounded optimum, with the
smallest move where several do each other's work; those slides are then held and the next joint takes what is left.
Slides that stop at holes are tried at every hole they have.

The moments come from adding up bodies where they are, at marks 0 and 1, never from a formula for the sensitivities.
"""

import itertools

import numpy as np
import scipy
from scipy.optimize import lsq_linear

from _fixture import write

SEED = 31
FAR = 1e-7


def fixture():
    random = np.random.Generator(np.random.PCG64(SEED))
    makers = [upright_head] * 120 + [oblique_chain] * 120 + [redundant_chain] * 40 + [holed_chain] * 40
    return {
        "what": "target marks of random chains, axis by axis",
        "generator": "tests/references/marks.py",
        "seed": SEED,
        "generated_with": {"scipy": scipy.__version__, "numpy": np.__version__},
        "cases": [solved(maker, random) for maker in makers],
    }


def solved(maker, random):
    """The first random chain of this kind whose answer is unique to rounding."""
    while True:
        chain = maker(random)
        answer = solve(chain)
        if answer is not None:
            marks, residuals = answer
            return {
                "kind": maker.__name__,
                "joints": chain,
                "targets_m": marks.tolist(),
                "residual_kg_m": [np.linalg.norm(each).item() for each in residuals],
            }


def upright_head(random):
    """Pan, roll, tilt; one slide under the roll arm, three under the camera. Every other one is within travel or near."""
    spread = float(random.choice([0.02, 0.12]))
    return [
        joint(random, [0, 0, 1], [slide(random, [1, 0, 0], 0.14)], spread),
        joint(random, [1, 0, 0], [], spread),
        joint(random, [0, 1, 0], [slide(random, each, reach) for each, reach in
                                  (([0, 0, 1], 0.09), ([0, 1, 0], 0.05), ([1, 0, 0], 0.22))], spread),
    ]


def oblique_chain(random):
    """Any axes, each joint with one or two slides of its own."""
    return [joint(random, direction(random), [slide(random, direction(random), random.uniform(0.05, 0.3))
                                              for _ in range(random.integers(1, 3))])
            for _ in range(random.integers(1, 5))]


def redundant_chain(random):
    """Three slides for the two components of the innermost joint."""
    return [
        joint(random, [0, 0, 1], [slide(random, [1, 0, 0], 0.2)]),
        joint(random, [0, 1, 0], [slide(random, each, random.uniform(0.05, 0.2)) for each in
                                  ([1, 0, 0], [0, 0, 1], direction(random))]),
    ]


def holed_chain(random):
    """One slide on a scale, one that stops only at holes."""
    return [
        joint(random, [1, 0, 0], [slide(random, [0, 1, 0], 0.05)]),
        joint(random, [0, 1, 0], [slide(random, [0, 0, 1], 0.09), holed(random, slide(random, [1, 0, 0], 0.2))]),
    ]


def joint(random, axis, slides, spread=0.12):
    return {
        "joint": [*map(float, axis), *np.round(random.uniform(-spread, spread, 3), 4).tolist()],
        "slides": slides,
        "bodies": [body(random, spread) for _ in range(len(slides) + 1)],
    }


def body(random, spread):
    return [round(float(random.uniform(0.5, 7.0)), 4), *np.round(random.uniform(-spread, spread, 3), 4).tolist()]


def slide(random, along, travel_m):
    high = round(float(travel_m), 4)
    zero = round(high / 2, 4)
    present = round(float(random.uniform(0.0, high)), 4)
    return [*map(float, along), 0.0, high, zero, present, 0.0]


def holed(random, scale):
    spacing = float(random.choice([0.005, 0.0127, 0.01, 0.025]))
    return [*scale[:-1], spacing]


def direction(random):
    vector = random.normal(size=3)
    return np.round(vector / np.linalg.norm(vector), 6).tolist()


def unit(vector):
    return np.array(vector) / np.linalg.norm(vector)


def slides_of(chain):
    return [each for link in chain for each in link["slides"]]


def unbalance(chain, about, marks):
    """Sum of m (r - p) across the axis of one joint, with every joint at zero."""
    place, point, bodies, number = np.zeros(3), None, [], 0
    for index, link in enumerate(chain):
        place = place + link["joint"][3:]
        if index == about:
            point = place
        seat = place.copy()
        for order, (mass_kg, *cg_m) in enumerate(link["bodies"]):
            if index >= about:
                bodies.append((mass_kg, seat + cg_m))
            if order < len(link["slides"]):
                along = link["slides"][order]
                seat = seat + unit(along[:3]) * (marks[number] - along[5])
                number += 1
        place = seat
    axis = unit(chain[about]["joint"][:3])
    moment = sum(mass_kg * (at - point) for mass_kg, at in bodies)
    return moment - axis * (axis @ moment)


def solve(chain):
    slides = slides_of(chain)
    marks = np.array([each[6] for each in slides])
    held = np.zeros(len(slides), dtype=bool)
    for about in reversed(range(len(chain))):
        start = unbalance(chain, about, marks)
        columns = np.array([unbalance(chain, about, marks + step) - start for step in np.eye(len(slides))]).T
        size = np.linalg.norm(columns, axis=0)
        free = np.flatnonzero(~held & (size > 1e-9))
        # A slide that is almost, but not quite, along the axis makes an answer of rounding errors.
        if np.any(~held & (size > 1e-9) & (size < 0.05 * size.max())):
            return None
        if len(free) == 0:
            continue
        found = optimum(columns[:, free], start, [slides[each] for each in free], marks[free])
        if found is None:
            return None
        marks[free] += found
        held[free] = True
    return marks, [unbalance(chain, about, marks) for about in range(len(chain))]


def optimum(columns, start, slides, present):
    low = np.array([each[3] for each in slides]) - present
    high = np.array([each[4] for each in slides]) - present
    spacings = [each[7] for each in slides]
    if not any(spacings):
        return bounded(columns, start, low, high)
    choices = [holes(spacing, bottom, top) if spacing else [None]
               for spacing, bottom, top in zip(spacings, low, high)]
    tried = []
    for choice in itertools.product(*choices):
        on_hole = np.array([each is not None for each in choice])
        moved = np.array([0.0 if each is None else each for each in choice])
        rest = start + columns @ moved
        if not on_hole.all():
            moved[~on_hole] = bounded(columns[:, ~on_hole], rest, low[~on_hole], high[~on_hole])
        tried.append((np.linalg.norm(start + columns @ moved), moved))
    tried.sort(key=lambda each: each[0])
    # Two holes that are equally good leave nothing to compare.
    if len(tried) > 1 and tried[1][0] - tried[0][0] < 1e-6:
        return None
    return tried[0][1]


def holes(spacing, low, high):
    count = int(np.floor((high - low) / spacing + 1e-9))
    return [low + number * spacing for number in range(count + 1)]


def bounded(columns, start, low, high):
    """Bounded least squares; among equals the smallest move, to rounding.

    scipy finds which unknowns stand at a bound (a trace of the move's own length breaks ties); the free ones are then
    the minimum-norm solution of what is left, so that no trace remains in the answer.
    """
    trace = 1e-5 * np.linalg.norm(columns)
    count = columns.shape[1]
    tall = np.vstack([columns, trace * np.eye(count)]) if count > 2 else columns
    right = -np.concatenate([start, np.zeros(count)]) if count > 2 else -start
    if count == 2 and np.linalg.cond(columns) > 30:
        return None
    first = lsq_linear(tall, right, (low, high), method="bvls", tol=1e-14).x
    at_low, at_high = first - low < FAR, high - first < FAR
    free = ~(at_low | at_high)
    answer = np.where(at_low, low, np.where(at_high, high, 0.0))
    if free.any():
        answer[free] = -np.linalg.pinv(columns[:, free], rcond=1e-10) @ (start + columns[:, ~free] @ answer[~free])
    if np.any(np.abs(answer - first) > 1e-6) or np.any(answer < low - 1e-12) or np.any(answer > high + 1e-12):
        return None
    return answer


if __name__ == "__main__":
    write("marks", fixture())
