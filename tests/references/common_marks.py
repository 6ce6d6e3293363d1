"""One set of marks for many lenses: scipy's sequential quadratic programming, polished to rounding.

A tilt axis with a slide fore and aft and one for the height carries a body, a point mass, and one of several lenses.
Wanted are the marks within travel at which the largest unbalance of any lens is smallest.
"""

import numpy as np
import scipy
from scipy.optimize import minimize, root

from _fixture import write

SEED = 20261126
CASES = 60


def fixture():
    random = np.random.default_rng(SEED)
    cases = []
    while len(cases) < CASES:
        case = one(random)
        answer = polished(case)
        if answer is not None:
            marks, worst = answer
            cases.append({**case, "marks_m": marks.tolist(), "worst_kg_m": worst})
    return {
        "what": "one set of marks for many lenses about a tilt axis",
        "generator": "tests/references/common_marks.py",
        "seed": SEED,
        "generated_with": {"scipy": scipy.__version__, "numpy": np.__version__},
        "cases": cases,
    }


def one(random):
    count = int(random.integers(1, 8))
    reach = [random.uniform(0.02, 0.15), random.uniform(0.01, 0.08)]
    return {
        "body": [random.uniform(3, 9), random.uniform(-0.15, 0.1), random.uniform(-0.06, 0.06)],
        "lenses": [[random.uniform(0.8, 6), random.uniform(0.03, 0.16)] for _ in range(count)],
        "reach_m": reach,
    }


def unbalances(case, marks):
    """Of every lens: forward and up. The lens lies on the axis through the flange, which is the middle of the travel."""
    mass, x, z = case["body"]
    return np.array([
        [mass * (x + marks[0]) + kg * (ahead + marks[0]), mass * (z + marks[1]) + kg * marks[1]]
        for kg, ahead in case["lenses"]
    ])


def largest(case, marks):
    return np.linalg.norm(unbalances(case, marks), axis=1).max()


def polished(case):
    """The smallest of the largest, its active lenses and ends found by scipy and the conditions of optimality then solved."""
    reach = np.array(case["reach_m"])
    mass = case["body"][0]
    kilograms = np.array([mass + kg for kg, _ in case["lenses"]])
    start = np.array([0.0, 0.0, largest(case, [0, 0]) + 0.1])
    inside = [{"type": "ineq", "fun": lambda v: v[2] ** 2 - (unbalances(case, v[:2]) ** 2).sum(axis=1)}]
    ends = [(-reach[0], reach[0]), (-reach[1], reach[1]), (0, None)]
    found = minimize(lambda v: v[2], start, jac=lambda v: np.array([0, 0, 1.0]), bounds=ends, constraints=inside,
                     method="SLSQP", options={"ftol": 1e-15, "maxiter": 500})
    marks, worst = found.x[:2], largest(case, found.x[:2])
    # A worst of nothing has no direction to be polished in.
    if worst < 1e-3:
        return None
    free = np.abs(np.abs(marks) - reach) > 1e-6
    marks = np.where(free, marks, np.sign(marks) * reach)
    norms = np.linalg.norm(unbalances(case, marks), axis=1)
    active = np.flatnonzero(norms > norms.max() - 1e-6)
    unknowns, lenses = int(free.sum()), len(active)
    # Where active lenses outnumber what decides, their weights are not unique.
    if lenses > unknowns + 1 or unknowns == 0:
        return None

    def slope_and_size(v):
        at = marks.copy()
        at[free] = v[:unknowns]
        u = unbalances(case, at)[active]
        size = np.linalg.norm(u, axis=1)
        return ((v[unknowns:-1] * kilograms[active] / size)[:, None] * u).sum(axis=0), size

    def conditions(v):
        slope, size = slope_and_size(v)
        return np.concatenate([slope[free], size - v[-1], [v[unknowns:-1].sum() - 1]])

    guess = np.concatenate([marks[free], np.full(lenses, 1 / lenses), [norms.max()]])
    solved = root(conditions, guess, method="hybr", tol=1e-15)
    answer = marks.copy()
    answer[free] = solved.x[:unknowns]
    bound = solved.x[-1]
    sound = (np.abs(conditions(solved.x)).max() < 1e-13 and solved.x[unknowns:-1].min() > 1e-3
             and np.all((slope_and_size(solved.x)[0] * np.sign(marks))[~free] < -1e-3)
             and np.all(np.abs(answer) <= reach + 1e-12) and largest(case, answer) < bound + 1e-12)
    return (answer, float(bound)) if sound else None


if __name__ == "__main__":
    write("common_marks", fixture())
