"""Inverse dynamics of random chains on moving bases, by Pinocchio and by MuJoCo.

A chain is a list of links, platform first. A link is four short rows:

    joint  axis x y z; origin x y z in m, from the joint outside it while every slide stands at zero
    outer  yoke outside the slide: mass in kg; centre of gravity x y z in m; moments of inertia x y z in kg m2
    slide  direction x y z; displacement in m
    inner  yoke inside the slide, as the outer one

Whatever stands inside the slide, the next joint included, moves with it. Inertias are principal moments along the link's
axes, about each yoke's own centre of gravity: products of inertia come from where the yokes are. Axes and directions are
rounded to six digits and stand for the unit vector along them.

Neither program is given composited links: both add up the bodies themselves.

The base moves as a whole: attitude, angular velocity and angular acceleration in world axes, z up, and the classical
acceleration of the base origin without gravity. The torque is the one that a drive applies about its positive axis on
the link inside it.
"""

import mujoco
import numpy as np
import pinocchio

from _fixture import write

SEED = 20251125
CASES = 1000
GRAVITY_M_S2 = 9.80665
JOINTS = (3, 3, 3, 2, 1, 4, 5, 6)


def fixture():
    random = np.random.Generator(np.random.PCG64(SEED))
    cases = [case(random, JOINTS[index % len(JOINTS)]) for index in range(CASES)]
    return {
        "what": "torque of every drive on random chains with moving bases",
        "generator": "tests/references/inverse_dynamics.py",
        "seed": SEED,
        "generated_with": {
            "pinocchio": pinocchio.__version__,
            "mujoco": mujoco.__version__,
            "numpy": np.__version__,
        },
        "cases": cases,
    }


def case(random, joints):
    links = [link(random) for _ in range(joints)]
    state = {
        "q_rad": uniform(random, np.pi, joints),
        "qd_rad_s": uniform(random, 4.0, joints),
        "qdd_rad_s2": uniform(random, 20.0, joints),
        "base": {
            "quat_wxyz": unit(random.normal(size=4)),
            "omega_rad_s": uniform(random, 2.0, 3),
            "alpha_rad_s2": uniform(random, 6.0, 3),
            "acc_m_s2": uniform(random, 15.0, 3),
        },
    }
    by_pinocchio = pinocchio_torques(links, state)
    by_mujoco = mujoco_torques(links, state)
    scale = np.abs(by_pinocchio).max()
    assert np.abs(by_pinocchio - by_mujoco).max() <= 1e-11 * scale, "the two references disagree"
    return {
        "links": links,
        "state": state,
        "pinocchio_nm": by_pinocchio.tolist(),
        "mujoco_nm": by_mujoco.tolist(),
    }


def link(random):
    return {
        "joint": direction(random) + uniform(random, 0.3, 3, digits=3),
        "outer": yoke(random),
        "slide": direction(random) + uniform(random, 0.15, 1, digits=3),
        "inner": yoke(random),
    }


def yoke(random):
    mass_kg = round(float(random.uniform(0.2, 8.0)), 3)
    a, b, c = random.uniform(0.03, 0.4, size=3)
    moments = mass_kg / 12.0 * np.array([b * b + c * c, a * a + c * c, a * a + b * b])
    return [mass_kg, *uniform(random, 0.25, 3, digits=3), *np.round(moments + 2e-6, 6).tolist()]


def direction(random):
    return np.round(unit(random.normal(size=3)), 6).tolist()


def uniform(random, reach, count, digits=4):
    """On the steps in which a package stores numbers, so that a file holds them exactly."""
    return np.round(random.uniform(-reach, reach, size=count), digits).tolist()


def unit(vector):
    return (np.asarray(vector) / np.linalg.norm(vector)).tolist()


def moved(each):
    """How far the slide of a link carries what stands inside it."""
    *along, displacement_m = each["slide"]
    return np.array(unit(along)) * displacement_m


def rotation(quat_wxyz):
    w, x, y, z = quat_wxyz
    return np.array([
        [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
        [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
        [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
    ])


def base_motion(state):
    """Attitude, and the base's rates, accelerations and angular accelerations in its own axes."""
    base = state["base"]
    turned = rotation(base["quat_wxyz"])
    return (
        turned.T @ base["omega_rad_s"],
        turned.T @ base["acc_m_s2"],
        turned.T @ base["alpha_rad_s2"],
    )


def pinocchio_torques(links, state):
    model = pinocchio.Model()
    model.gravity.linear = np.array([0.0, 0.0, -GRAVITY_M_S2])
    parent = model.addJoint(0, pinocchio.JointModelFreeFlyer(), pinocchio.SE3.Identity(), "base")
    offset = np.zeros(3)
    for index, each in enumerate(links):
        axis = np.array(unit(each["joint"][:3]))
        place = pinocchio.SE3(np.eye(3), np.array(each["joint"][3:]) + offset)
        parent = model.addJoint(parent, pinocchio.JointModelRevoluteUnaligned(axis), place, f"joint{index}")
        offset = moved(each)
        for (mass_kg, *rest), at in ((each["outer"], np.zeros(3)), (each["inner"], offset)):
            body = pinocchio.Inertia(mass_kg, np.zeros(3), np.diag(rest[3:]))
            model.appendBodyToJoint(parent, body, pinocchio.SE3(np.eye(3), at + rest[:3]))
    w, x, y, z = state["base"]["quat_wxyz"]
    omega, acceleration, alpha = base_motion(state)
    # The base stands at the origin of the world with no linear velocity: neither matters to a torque.
    q = np.concatenate([[0.0, 0.0, 0.0, x, y, z, w], state["q_rad"]])
    v = np.concatenate([np.zeros(3), omega, state["qd_rad_s"]])
    a = np.concatenate([acceleration, alpha, state["qdd_rad_s2"]])
    return pinocchio.rnea(model, model.createData(), q, v, a)[6:]


def mujoco_torques(links, state):
    model = mujoco.MjModel.from_xml_string(mujoco_chain(links))
    data = mujoco.MjData(model)
    omega, _, alpha = base_motion(state)
    data.qpos[:] = np.concatenate([np.zeros(3), state["base"]["quat_wxyz"], state["q_rad"]])
    data.qvel[:] = np.concatenate([np.zeros(3), omega, state["qd_rad_s"]])
    data.qacc[:] = np.concatenate([state["base"]["acc_m_s2"], alpha, state["qdd_rad_s2"]])
    mujoco.mj_inverse(model, data)
    return data.qfrc_inverse[6:].copy()


def mujoco_chain(links):
    body = ""
    for each in reversed(links):
        index = links.index(each)
        offset = moved(links[index - 1]) if index else np.zeros(3)
        axis, origin_m = unit(each["joint"][:3]), np.array(each["joint"][3:])
        body = (
            f'<body pos="{words(origin_m + offset)}"><joint type="hinge" axis="{words(axis)}"/>'
            f'{inertial(each["outer"])}<body pos="{words(moved(each))}">{inertial(each["inner"])}</body>{body}</body>'
        )
    return (
        f'<mujoco><option gravity="0 0 {-GRAVITY_M_S2!r}"><flag contact="disable" limit="disable"/></option>'
        '<compiler angle="radian"/>'
        '<worldbody><body><freejoint/><inertial pos="0 0 0" mass="1" diaginertia="1 1 1"/>'
        f"{body}</body></worldbody></mujoco>"
    )


def inertial(yoke):
    mass_kg, *rest = yoke
    return f'<inertial pos="{words(rest[:3])}" mass="{mass_kg!r}" diaginertia="{words(rest[3:])}"/>'


def words(vector):
    return " ".join(repr(float(each)) for each in vector)


if __name__ == "__main__":
    write("inverse_dynamics", fixture())
