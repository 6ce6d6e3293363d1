"""Writes every fixture again.

    python regenerate.py --out DIR [name ...]

DIR defaults to the committed fixtures beside this file; names pick single generators.
"""

import argparse
import json
import pathlib

import air
import discharge
import inverse_dynamics
import marks

GENERATORS = {
    "air": air,
    "discharge": discharge,
    "inverse_dynamics": inverse_dynamics,
    "marks": marks,
}


def write(path, fixture):
    """One case a line, so that a change of one case is a change of one line."""
    cases = fixture.pop("cases")
    head = json.dumps(fixture, indent=1, ensure_ascii=False)[:-2]
    rows = ",\n".join(json.dumps(case, separators=(",", ":"), allow_nan=False) for case in cases)
    path.write_text(f'{head},\n "cases": [\n{rows}\n]}}\n', encoding="utf-8")


def main():
    here = pathlib.Path(__file__).resolve().parent
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=pathlib.Path, default=here / "fixtures")
    parser.add_argument("names", nargs="*", choices=[[], *GENERATORS], default=[])
    arguments = parser.parse_args()
    arguments.out.mkdir(parents=True, exist_ok=True)
    for name in arguments.names or GENERATORS:
        path = arguments.out / f"{name}.json"
        write(path, GENERATORS[name].fixture())
        print(f"{path}: {path.stat().st_size} bytes", flush=True)


if __name__ == "__main__":
    main()
