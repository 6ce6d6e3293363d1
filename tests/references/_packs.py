"""Packs behind a resistance at constant power, integrated in time.

A pack is an open-circuit voltage E(s) behind a resistance R. At a power P it stands at V = (E + sqrt(E^2 - 4 R P)) / 2 and
gives I = P / V, until it is empty or V falls to the cut-off voltage. Packs in parallel feed through diodes: at the bus
voltage V each gives max(0, (E - V) / R).

The curve is piecewise linear between the knots of a cell with a nickel-rich cathode: Chen and others, J. Electrochem.
Soc. 167 (2020) 080534, as computed from the parameter set that a public battery model ships (volts per cell).

    packs  cells in series; rated Ah; resistance in ohm; usable share; cut-off in V per cell
"""

import numpy as np
from scipy.integrate import solve_ivp

KNOTS = np.array([0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 1.0])
VOLTS = np.array([2.5, 3.1094, 3.2959, 3.4852, 3.5814, 3.667, 3.7509, 3.8406, 3.9479, 4.0421, 4.0967, 4.1236, 4.2])


def pack(random):
    return [
        float(random.integers(4, 9)),
        round(float(random.uniform(4.0, 15.0)), 2),
        round(float(random.uniform(0.03, 0.25)), 3),
        round(float(random.uniform(0.6, 1.0)), 2),
        round(float(random.uniform(2.5, 3.2)), 2),
    ]


def unlike_packs(random):
    """One bus and one load: the same number of cells and the same cut-off; capacity, resistance and age differ."""
    first, second = pack(random), pack(random)
    second[0], second[4] = first[0], first[4]
    return [first, second]


def open_volts(charge):
    return np.interp(charge, KNOTS, VOLTS)


def share_left(packs, charge):
    """Of everything that can be used of the packs, what is left."""
    _, rated_ah, _, share, _ = np.array(packs).T
    return float((rated_ah * share * charge).sum() / (rated_ah * share).sum())


def drained(packs, power_w, charge, hours):
    """Integrates every pack's charge for so long, or until the bus falls to the cut-off or a pack runs empty.

    Returns the hours that were fed and the charge that is left.
    """
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

    if below_cutoff(0.0, charge) <= 0.0 or empty(0.0, charge) <= 0.0:
        return 0.0, charge
    below_cutoff.terminal = empty.terminal = True
    run = solve_ivp(drain, (0.0, hours), charge, method="DOP853", events=[below_cutoff, empty],
                    rtol=1e-10, atol=1e-12, max_step=0.02)
    assert run.status >= 0, run.message
    return float(run.t[-1]), run.y[:, -1]
