"""Times Pinocchio's stock C++ rnea() on the demonstration's three joints, and compares what it answers.

    python pinocchio.py OUT.json

Runs in the environment of the references. The headers of the linear algebra that Pinocchio is made with are fetched
beside OUT.json; a C++ compiler must be there.
"""

import json
import pathlib
import subprocess
import sys
import sysconfig

ROOT = pathlib.Path(__file__).resolve().parents[2]
HEADERS = "cmeel-eigen==3.4.1"
STATE = {"q_rad": [0.3, -0.4, 0.7], "qd_rad_s": [1.0, -0.5, 0.8], "qdd_rad_s2": [2.0, 3.0, -1.0]}


def main():
    out = pathlib.Path(sys.argv[1]).resolve()
    out.parent.mkdir(parents=True, exist_ok=True)
    ours = answer(out.parent)
    program = built(out.parent)
    done = subprocess.run([program], input=chain(ours["bodies"]), capture_output=True, text=True, check=True)
    seconds, *torques = map(float, done.stdout.split())
    largest = max(map(abs, torques))
    off = max(abs(a - b) for a, b in zip(torques, ours["torque_nm"][0])) / largest
    assert len(torques) == len(ours["torque_nm"][0]) and off < 1e-10, f"the torques differ by {off}"
    out.write_text(json.dumps({"rnea": seconds}) + "\n")
    beside_ours(seconds, out.parent.parent / "criterion/inverse_dynamics/three_joints/new/estimates.json")


def beside_ours(seconds, estimates):
    """Both times and their ratio, where our own bench of the same three joints has run before this."""
    print(f"Pinocchio's stock rnea(), three joints on a free-flyer base: {1e9 * seconds:.0f} ns a step")
    if estimates.is_file():
        ours = json.loads(estimates.read_text())["median"]["point_estimate"]
        print(f"ours on the same chain: {ours:.0f} ns a step, {1e9 * seconds / ours:.1f} times as fast")


def answer(directory):
    """Links and torques of the demonstration, by our own command line."""
    states = directory / "states.json"
    states.write_text(json.dumps({"samples": [STATE]}))
    demo = ROOT / "tests" / "packages" / "demo.json"
    command = ["cargo", "run", "--quiet", "--package", "counterpoise", "--", "dynamics", demo, states, "--bodies"]
    return json.loads(subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout)


def chain(bodies):
    rows = [str(len(bodies))]
    for body in bodies:
        numbers = [*body["axis"], *body["offset_m"], body["mass_kg"], *body["cg_m"], *sum(body["inertia_kg_m2"], [])]
        rows.append(" ".join(map(repr, numbers)))
    rows += [" ".join(map(repr, STATE[name])) for name in ("q_rad", "qd_rad_s", "qdd_rad_s2")]
    return "\n".join(rows) + "\n"


def built(directory):
    """The timing program, compiled once for every version of its source."""
    program, source = directory / "rnea", pathlib.Path(__file__).with_name("rnea.cpp")
    if program.exists() and program.stat().st_mtime > source.stat().st_mtime:
        return program
    headers = directory / "headers"
    install = [sys.executable, "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    subprocess.run([*install, "--upgrade", "--target", headers, HEADERS], check=True)
    home = pathlib.Path(sysconfig.get_paths()["purelib"]) / "cmeel.prefix"
    own = next(headers.rglob("Eigen/Core")).parents[1]
    libraries = home / "lib"
    # As Pinocchio's own build asks of whoever uses it.
    asked = [
        "-DBOOST_MPL_LIMIT_LIST_SIZE=30", "-DBOOST_MPL_LIMIT_VECTOR_SIZE=30", "-DBOOST_MPL_CFG_NO_PREPROCESSED_HEADERS",
        "-DBOOST_FUSION_INVOKE_MAX_ARITY=12", "-DPINOCCHIO_ENABLE_TEMPLATE_INSTANTIATION",
    ]
    command = [
        "g++", "-std=c++17", "-O3", "-DNDEBUG", *asked, f"-I{home / 'include'}", f"-I{own}", source, "-o", program,
        f"-L{libraries}", "-lpinocchio_default", f"-Wl,-rpath,{libraries}",
    ]
    subprocess.run(command, check=True)
    return program


if __name__ == "__main__":
    main()
