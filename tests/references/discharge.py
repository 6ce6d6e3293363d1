"""Constant-power discharge of packs behind a resistance, by quadrature and by an integrator in time (`_packs.py`)."""

import numpy as np
import scipy
from scipy.integrate import quad
from scipy.optimize import brentq

from _fixture import write
from _packs import KNOTS, VOLTS, drained, open_volts, pack, unlike_packs

SEED = 77


def fixture():
    random = np.random.Generator(np.random.PCG64(SEED))
    cases = [alike(random) for _ in range(60)] + [unlike(random) for _ in range(20)]
    return {
        "what": "hours from full to cut-off at constant power",
        "generator": "tests/references/discharge.py",
        "seed": SEED,
        "generated_with": {"scipy": scipy.__version__, "numpy": np.__version__},
        "open_circuit_v": [KNOTS.tolist(), VOLTS.tolist()],
        "cases": cases,
    }


def alike(random):
    """One or more equal packs: an integral over the charge."""
    count, each = int(random.integers(1, 4)), pack(random)
    cells, rated_ah, ohm, share, cutoff = each
    power_w = round(float(random.uniform(25.0, 140.0)), 1)
    per_pack_w = power_w / count

    def bus_v(charge):
        open_v = cells * open_volts(charge)
        return (open_v + np.sqrt(max(open_v * open_v - 4.0 * ohm * per_pack_w, 0.0))) / 2.0

    end = 0.0
    if bus_v(0.0) < cells * cutoff:
        end = brentq(lambda charge: bus_v(charge) - cells * cutoff, 0.0, 1.0, xtol=1e-15, rtol=1e-14)
    edges = np.concatenate([[end], KNOTS[KNOTS > end]])
    hours = sum(
        quad(lambda charge: rated_ah * share * bus_v(charge) / per_pack_w, low, high, epsabs=0.0, epsrel=1e-13)[0]
        for low, high in zip(edges, edges[1:])
    )
    in_time = by_time([each] * count, power_w)
    assert abs(in_time - hours) < 1e-6 * hours, (in_time, hours)
    return {"packs": [each] * count, "power_w": power_w, "hours": float(hours)}


def unlike(random):
    """Two packs that share the current by their voltages."""
    packs, power_w = unlike_packs(random), round(float(random.uniform(40.0, 140.0)), 1)
    # Rounded to what an integrator in steps of its own choice can promise.
    return {"packs": packs, "power_w": power_w, "hours": round(by_time(packs, power_w), 7)}


def by_time(packs, power_w):
    """Hours until the bus falls to the highest cut-off or a pack runs empty."""
    hours, _ = drained(packs, power_w, np.ones(len(packs)), 100.0)
    assert hours < 100.0, "the packs outlast the integrator"
    return hours


if __name__ == "__main__":
    write("discharge", fixture())
