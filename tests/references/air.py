"""Density of the standard atmosphere, by integrating the hydrostatic equation rather than by its closed form.

dp/dh = -p g / (R T(h)) with T falling by 6.5 K a kilometre of geopotential height, from 101 325 Pa and 288.15 K at sea
level; density p / (R T). Where the air's own temperature is known it replaces the standard one in the last step.

Constants: ISO 2533:1975 (values from memory).
"""

import numpy as np
import scipy
from scipy.integrate import quad

from _fixture import write

GRAVITY_M_S2 = 9.80665
GAS_CONSTANT_J_KG_K = 287.05287
SEA_LEVEL_K = 288.15
SEA_LEVEL_PA = 101325.0
LAPSE_K_M = 0.0065


def fixture():
    heights = [-400.0, 0.0, 250.0, 500.0, 1000.0, 1500.0, 2000.0, 3000.0, 4500.0, 6000.0, 8500.0]
    cases = []
    for height_m in heights:
        standard_k = SEA_LEVEL_K - LAPSE_K_M * height_m
        for air_k in (standard_k, 253.15, 288.15, 313.15):
            if 223.15 <= air_k <= 333.15:
                air_k = round(air_k, 2)
                density = pressure_pa(height_m) / (GAS_CONSTANT_J_KG_K * air_k)
                cases.append({"altitude_m": height_m, "air_k": air_k, "kg_m3": density})
    return {
        "what": "density of the air by height and temperature",
        "generator": "tests/references/air.py",
        "generated_with": {"scipy": scipy.__version__, "numpy": np.__version__},
        "cases": cases,
    }


def pressure_pa(height_m):
    fall, _ = quad(
        lambda h: GRAVITY_M_S2 / (GAS_CONSTANT_J_KG_K * (SEA_LEVEL_K - LAPSE_K_M * h)),
        0.0, height_m, epsabs=0.0 if height_m else 1.0, epsrel=1e-13,
    )
    return float(SEA_LEVEL_PA * np.exp(-fall))


if __name__ == "__main__":
    write("air", fixture())
