"""Writes a fixture: a few lines that say what it is and what made it, then one case a line."""

import json
import pathlib
import sys


def write(name, fixture):
    """Writes fixtures/NAME.json below the directory that the command line gives, by default beside this file."""
    here = pathlib.Path(__file__).resolve().parent
    home = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else here
    path = home / "fixtures" / f"{name}.json"
    path.parent.mkdir(parents=True, exist_ok=True)
    cases = fixture.pop("cases")
    head = json.dumps(fixture, indent=1, ensure_ascii=False)[:-2]
    # A change of one case is then a change of one line.
    rows = ",\n".join(json.dumps(case, separators=(",", ":"), allow_nan=False) for case in cases)
    path.write_text(f'{head},\n "cases": [\n{rows}\n]}}\n', encoding="utf-8")
    print(f"{path}: {path.stat().st_size} bytes", flush=True)
