"""A day of moves on packs that are changed when they run out, followed by an integrator in time (`_packs.py`).

Every stretch of the day draws a constant power. Where the packs run empty, or their bus falls to the cut-off, a full set
is put on in no time.

    packs    see `_packs.py`
    blocks   hours; W
    changes  hours since the start; share of the usable charge that was left
    fresh_at the block at whose start a full set is put on by choice, and the changes that there then are
"""

import numpy as np
import scipy

from _fixture import write
from _packs import drained, pack, share_left, unlike_packs

SEED = 78


def fixture():
    random = np.random.Generator(np.random.PCG64(SEED))
    return {
        "what": "pack changes over a day",
        "generator": "tests/references/day.py",
        "seed": SEED,
        "generated_with": {"scipy": scipy.__version__, "numpy": np.__version__},
        "cases": [case(random, index) for index in range(40)],
    }


def case(random, index):
    alike = index < 25
    packs = [pack(random)] * int(random.integers(1, 4)) if alike else unlike_packs(random)
    blocks = [
        [round(float(random.uniform(0.2, 2.5)), 2), round(float(random.uniform(25.0, 140.0)), 1)]
        for _ in range(int(random.integers(2, 6)))
    ]
    # Rounded to what an integrator in steps of its own choice can promise.
    def changes(fresh_at):
        return [[round(hours, 6), round(left, 5)] for hours, left in follow(packs, blocks, fresh_at)]

    fresh_at = 1 + index % (len(blocks) - 1)
    return {
        "packs": packs,
        "blocks": blocks,
        "changes": changes(None),
        "fresh_at": fresh_at,
        "changes_then": changes(fresh_at),
    }


def follow(packs, blocks, fresh_at):
    full = np.ones(len(packs))
    now_h, charge = 0.0, full
    for index, (hours, power_w) in enumerate(blocks):
        if index == fresh_at:
            yield now_h, share_left(packs, charge)
            charge = full
        left_h = hours
        while left_h > 1e-7:
            fed_h, charge = drained(packs, power_w, charge, left_h)
            now_h, left_h = now_h + fed_h, left_h - fed_h
            if left_h > 1e-7:
                yield now_h, share_left(packs, charge)
                charge = full


if __name__ == "__main__":
    write("day", fixture())
