"""Constant-power discharge of packs behind a resistance, by quadrature and by an integrator in time.

A pack is an open-circuit voltage E(s) behind a resistance R. At a power P it stands at V = (E + sqrt(E^2 - 4 R P)) / 2 and
gives I = P / V, until it is empty or V falls to the cut-off voltage. Packs in parallel feed through diodes: at the bus
voltage V each gives max(0, (E - V) / R).

The curve is piecewise linear between the knots of a cell with a nickel-rich cathode: Chen and others, J. Electrochem.
Soc. 167 (2020) 080534, as computed from the parameter set that a public battery model ships (volts per cell).

    packs  cells in series; rated Ah; resistance in ohm; usable share; cut-off in V per cell
"""

import numpy as np
import scipy
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from _fixture import write

SEED = 77
KNOTS = np.array([0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.0])
VOLTS = np.array([2.5, 3.1094, 3.2959, 3.4852, 3.5814, 3.667, 3.7509, 3.8406, 3.9479, 4.0421, 4.0967, 4.1236, 4.2])


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


def pack(random):
    return [
        float(random.integers(4, 9)),
        round(float(random.uniform(4.0, 15.0)), 2),
        round(float(random.uniform(0.03, 0.25)), 3),
        round(float(random.uniform(0.6, 1.0)), 2),
        round(float(random.uniform(2.5, 3.2)), 2),
    ]


def open_volts(charge):
    return np.interp(charge, KNOTS, VOLTS)


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
    first = pack(random)
    second = pack(random)
    # One bus and one load: the same number of cells and the same cut-off; capacity, resistance and age differ.
    second[0], second[4] = first[0], first[4]
    packs, power_w = [first, second], round(float(random.uniform(40.0, 140.0)), 1)
    # Rounded to what an integrator in steps of its own choice can promise.
    return {"packs": packs, "power_w": power_w, "hours": round(by_time(packs, power_w), 7)}


def by_time(packs, power_w):
    """Integrates every pack's charge in hours until the bus falls to the highest cut-off or a pack runs empty."""
    cells, rated_ah, ohm, share, cutoff = np.array(packs).T
    usable_ah = rated_ah * share
    cutoff_v = (cells * cutoff).min()

    def bus_v(charge):
        open_v = cells * open_volts(charge)
        feeding = np.ones(len(packs), dtype=bool)
        while True:
            conductance = (1.0 / ohm[feeding]).sum()
            source_v = (open_v[feeding] / ohm[feeding]).sum() / conductance
            square = source_v * source_v - 4.0 * power_w / conductance
            bus = (source_v + np.sqrt(max(square, 0.0))) / 2.0
            if not np.any(open_v[feeding] < bus):
                return bus
            feeding &= open_v >= bus

    def drain(_, charge):
        return -np.maximum(cells * open_volts(charge) - bus_v(charge), 0.0) / ohm / usable_ah

    def below_cutoff(_, charge):
        return bus_v(charge) - cutoff_v

    def empty(_, charge):
        return charge.min()

    below_cutoff.terminal = empty.terminal = True
    run = solve_ivp(drain, (0.0, 100.0), np.ones(len(packs)), method="DOP853", events=[below_cutoff, empty],
                    rtol=1e-10, atol=1e-12, max_step=0.02)
    assert run.status == 1, "the packs outlast the integrator"
    return float(run.t[-1])


if __name__ == "__main__":
    write("discharge", fixture())
