"""The aircraft in the engine: rigid body and contacts by MuJoCo, forces of rotors and air by hand.

The engine's axes are forward, left, up and north, west, up; everything else here counts forward,
right, down and north, east, down. `FLIP` turns one into the other.
"""

import mujoco
import numpy as np

from tests.reproduce.twin.craft import Craft

STEP_S = 0.0025  # s
G = 9.81  # m/s2
RHO = 1.22  # kg/m3
FLIP = np.array([1.0, -1.0, -1.0])
INFLOW = 1.2  # thrust lost per advance ratio; the propeller's published table, by eye
GUST_M_S, GUST_S = 0.05, 1.5


def model(craft: Craft) -> mujoco.MjModel:
    b = craft.body
    forward, right, down = b.feet_m
    feet = "".join(
        f'<geom type="sphere" size="0.008" pos="{x} {y} {0.008 - down}" mass="0"/>'
        for x in (forward, -forward)
        for y in (right, -right)
    )
    tips = "".join(
        f'<geom type="sphere" size="0.03" pos="{x} {-y} {b.rotor_up_m}" mass="0"/>'
        for x, y in b.rotors_m
    )
    i = b.inertia_kg_m2
    return mujoco.MjModel.from_xml_string(f"""
<mujoco>
  <option timestep="{STEP_S}" integrator="implicitfast" gravity="0 0 {-G}"/>
  <default><geom friction="0.7 0.005 0.0001" solref="0.02 1"/></default>
  <worldbody>
    <geom type="plane" size="5 5 0.1"/>
    <body name="craft" pos="0 0 {down}">
      <freejoint/>
      <inertial pos="{b.cg_m[0]} {-b.cg_m[1]} 0" mass="{b.mass_kg}" diaginertia="{i[0]} {i[1]} {i[2]}"/>
      <site name="board"/>{feet}{tips}
    </body>
  </worldbody>
  <sensor><accelerometer site="board"/></sensor>
</mujoco>""")


class Physics:
    """State of body, rotors and pack; `step` takes the four outputs of the controller."""

    def __init__(self, craft: Craft, rng: np.random.Generator) -> None:
        self.craft, self.rng = craft, rng
        self.model = model(craft)
        self.data = mujoco.MjData(self.model)
        self.speed = np.zeros(4)
        self.phase = rng.uniform(0.0, 6.28, 4)
        self.wind = np.zeros(3)
        self.charge, self.amps = craft.pack.charge, craft.pack.electronics_a
        self.volts = self.resting_v()
        m = craft.motors
        self.arms = np.array([(x - craft.body.cg_m[0], y - craft.body.cg_m[1], -craft.body.rotor_up_m) for x, y in craft.body.rotors_m])  # fmt: skip
        self.axes = np.array([(lx, ly, -np.sqrt(1.0 - lx * lx - ly * ly)) for lx, ly in m.lean])
        self.levers = np.cross(self.arms, self.axes)
        self.kv, self.ohm, self.idle_a = (np.array(x) for x in (m.kv_rad_s_v, m.ohm, m.no_load_a))
        self.lag, self.lift, self.drag = (np.array(x) for x in (m.lag_s, m.thrust, m.torque))
        self.spin, self.unbalance = np.array(m.spin), np.array(m.unbalance_kg_m)
        self.low, self.span = np.array([e[0] for e in m.ends]), np.array([e[1] for e in m.ends])
        mujoco.mj_forward(self.model, self.data)

    def resting_v(self) -> float:
        """Return the pack's voltage without load; a straight line but for the last tenth."""
        cell = 3.55 + 0.62 * self.charge - 0.5 * max(0.0, 0.12 - self.charge) / 0.12
        return self.craft.pack.cells * cell

    # --- what is true of it, our way round ---------------------------------------------------

    @property
    def quaternion(self) -> np.ndarray:
        return self.data.qpos[3:7] * np.array([1.0, 1.0, -1.0, -1.0])

    @property
    def rates(self) -> np.ndarray:
        return self.data.qvel[3:6] * FLIP

    @property
    def position(self) -> np.ndarray:
        return self.data.qpos[:3] * FLIP

    @property
    def velocity(self) -> np.ndarray:
        return self.data.qvel[:3] * FLIP

    @property
    def matrix(self) -> np.ndarray:
        """Body to world."""
        return turning_matrix(self.quaternion)

    def force(self) -> np.ndarray:
        """Return the specific force at the board, with the shake of the rotors."""
        shaken = self.craft.sensors.shake * self.unbalance * self.speed**2 / self.craft.body.mass_kg
        shake = np.array([shaken @ np.cos(self.phase), shaken @ np.sin(self.phase), 0.3 * shaken @ np.sin(self.phase + 1.0)])  # fmt: skip
        return self.data.sensordata[:3] * FLIP + shake

    # --- time -----------------------------------------------------------------------------------

    def step(self, outputs: np.ndarray) -> None:
        rotors = outputs[self.craft.motors.lead]
        torque = self._turn(rotors)
        turned = self.matrix
        air = turned.T @ (self.velocity - self._gust())
        thrust = self._thrust(air)
        total = thrust @ self.axes
        total[:2] -= self.craft.body.lateral * self.speed.sum() * air[:2]
        total -= self.craft.body.frame_drag * np.linalg.norm(air) * air
        moment = thrust @ self.levers
        moment += ((torque * -self.spin)[:, None] * -self.axes).sum(axis=0)
        self.data.xfrc_applied[1, :3] = (turned @ total) * FLIP
        self.data.xfrc_applied[1, 3:] = (turned @ moment) * FLIP
        mujoco.mj_step(self.model, self.data)

    def _turn(self, rotors: np.ndarray) -> np.ndarray:
        """Move the rotors on by a first-order lag; return the torque each takes, N m."""
        command = np.clip(self.low + self.span * rotors, 0.0, 1.0) * (rotors > 0.0)
        rev, d = self.speed / (2.0 * np.pi), self.craft.body.diameter_m
        power = 0.0375 + 2.4e-6 * 60.0 * rev  # 1; straight line through the published static run
        k = self.drag * power * RHO * d**5 / (2.0 * np.pi) / (4.0 * np.pi**2)
        supply = self.volts * command
        a = self.kv * self.ohm * k * self.kv
        free = np.maximum(0.0, self.kv * (supply - self.ohm * self.idle_a * (command > 0.0)))
        steady = (np.sqrt(1.0 + 4.0 * a * free) - 1.0) / (2.0 * a)
        change = (steady - self.speed) / self.lag
        self.speed = np.maximum(0.0, self.speed + change * STEP_S)
        self.phase = (self.phase + self.spin * self.speed * STEP_S) % (2.0 * np.pi)
        torque = k * self.speed**2
        drawn = np.maximum(0.0, torque * self.kv + self.idle_a) * (command > 0.0)
        self.amps += (float(command @ drawn) + self.craft.pack.electronics_a - self.amps) * 0.1
        self.charge -= self.amps * STEP_S / self.craft.pack.capacity_as
        self.volts = self.resting_v() - self.craft.pack.ohm * self.amps
        return torque + self.craft.motors.turning_kg_m2 * change

    def _thrust(self, air: np.ndarray) -> np.ndarray:
        rev, d = self.speed / (2.0 * np.pi), self.craft.body.diameter_m
        table = 0.092 + 5.9e-6 * 60.0 * rev  # 1; the same published run
        advance = -air[2] / np.maximum(rev * d, 1.0)
        lift = table * np.clip(1.0 - INFLOW * advance, 0.3, 1.6)
        return self.lift * lift * RHO * rev**2 * d**4

    def _gust(self) -> np.ndarray:
        share = STEP_S / GUST_S
        self.wind += -share * self.wind + GUST_M_S * np.sqrt(2.0 * share) * self.rng.normal(size=3)
        return self.wind * (1.0, 1.0, 0.3)


def turning_matrix(q: np.ndarray) -> np.ndarray:
    w, x, y, z = q
    return np.array([
        [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
        [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
        [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
    ])  # fmt: skip
