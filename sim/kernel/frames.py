"""Vectors, quaternions and the two frames (ISO 1151).

World frame: north, east, down. Body frame: forward, right, down. Quaternions are scalar first and
turn body components into world components. Angles in rad: roll right, pitch nose up and heading
clockwise from north are positive.
"""

from math import asin, atan2, cos, sin, sqrt
from typing import NamedTuple

from sim.kernel.jit import compiled


class Vec3(NamedTuple):
    """Three components, in the frame and unit the owner states."""

    x: float
    y: float
    z: float


class Quat(NamedTuple):
    """Unit quaternion, scalar first."""

    w: float
    x: float
    y: float
    z: float


class Mat3(NamedTuple):
    """3x3 matrix by rows."""

    xx: float
    xy: float
    xz: float
    yx: float
    yy: float
    yz: float
    zx: float
    zy: float
    zz: float


ZERO = Vec3(0.0, 0.0, 0.0)
UPRIGHT = Quat(1.0, 0.0, 0.0, 0.0)
IDENTITY = Mat3(1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0)


@compiled
def add(a, b):
    """Return a + b."""
    return Vec3(a.x + b.x, a.y + b.y, a.z + b.z)


@compiled
def subtract(a, b):
    """Return a - b."""
    return Vec3(a.x - b.x, a.y - b.y, a.z - b.z)


@compiled
def scale(a, k):
    """Return k a."""
    return Vec3(k * a.x, k * a.y, k * a.z)


@compiled
def divided(a, b):
    """Return a over b, part by part."""
    return Vec3(a.x / b.x, a.y / b.y, a.z / b.z)


@compiled
def add_scaled(a, b, k):
    """Return a + k b."""
    return Vec3(a.x + k * b.x, a.y + k * b.y, a.z + k * b.z)


@compiled
def dot(a, b):
    """Return the scalar product."""
    return a.x * b.x + a.y * b.y + a.z * b.z


@compiled
def cross(a, b):
    """Return the vector product."""
    return Vec3(a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x)


@compiled
def norm(a):
    """Return the length."""
    return sqrt(dot(a, a))


@compiled
def apply(m, v):
    """Return the matrix-vector product m v."""
    return Vec3(
        m.xx * v.x + m.xy * v.y + m.xz * v.z,
        m.yx * v.x + m.yy * v.y + m.yz * v.z,
        m.zx * v.x + m.zy * v.y + m.zz * v.z,
    )


@compiled
def multiply(p, q):
    """Return the quaternion product p q (first turn by q, then by p)."""
    return Quat(
        p.w * q.w - p.x * q.x - p.y * q.y - p.z * q.z,
        p.w * q.x + p.x * q.w + p.y * q.z - p.z * q.y,
        p.w * q.y - p.x * q.z + p.y * q.w + p.z * q.x,
        p.w * q.z + p.x * q.y - p.y * q.x + p.z * q.w,
    )


@compiled
def conjugate(q):
    """Return the opposite turn."""
    return Quat(q.w, -q.x, -q.y, -q.z)


@compiled
def normalise(q):
    """Return q scaled to unit length."""
    k = 1.0 / sqrt(q.w * q.w + q.x * q.x + q.y * q.y + q.z * q.z)
    return Quat(q.w * k, q.x * k, q.y * k, q.z * k)


@compiled
def to_world(q, v):
    """Return the world components of the body vector v."""
    u = Vec3(q.x, q.y, q.z)
    t = scale(cross(u, v), 2.0)
    return add(add_scaled(v, t, q.w), cross(u, t))


@compiled
def to_body(q, v):
    """Return the body components of the world vector v."""
    return to_world(conjugate(q), v)


@compiled
def rate_of_turn(q, rate):
    """Return dq/dt for a body rate in rad/s: q' = q (0, rate) / 2."""
    d = multiply(q, Quat(0.0, rate.x, rate.y, rate.z))
    return Quat(0.5 * d.w, 0.5 * d.x, 0.5 * d.y, 0.5 * d.z)


@compiled
def turned_by(q, angle):
    """Return q after the body has turned by the rotation vector `angle` (rad)."""
    size = norm(angle)
    # below 1e-12 rad, sin(a/2)/a equals 1/2 to double precision
    k = 0.5 if size < 1e-12 else sin(0.5 * size) / size
    return normalise(multiply(q, Quat(cos(0.5 * size), k * angle.x, k * angle.y, k * angle.z)))


@compiled
def attitude_error(target, actual):
    """Return the rotation vector (rad, body axes) that takes `actual` to `target`."""
    e = multiply(conjugate(actual), target)
    sign = 1.0 if e.w >= 0.0 else -1.0
    size = sqrt(e.x * e.x + e.y * e.y + e.z * e.z)
    k = 2.0 * sign if size < 1e-9 else 2.0 * sign * atan2(size, sign * e.w) / size
    return Vec3(k * e.x, k * e.y, k * e.z)


@compiled
def from_angles(roll_rad, pitch_rad, heading_rad):
    """Return the attitude reached by heading, then pitch, then roll (ISO 1151 order)."""
    cr, sr = cos(0.5 * roll_rad), sin(0.5 * roll_rad)
    cp, sp = cos(0.5 * pitch_rad), sin(0.5 * pitch_rad)
    ch, sh = cos(0.5 * heading_rad), sin(0.5 * heading_rad)
    return Quat(
        ch * cp * cr + sh * sp * sr,
        ch * cp * sr - sh * sp * cr,
        ch * sp * cr + sh * cp * sr,
        sh * cp * cr - ch * sp * sr,
    )


@compiled
def to_angles(q):
    """Return roll, pitch and heading in rad (heading in -pi..pi)."""
    sine = 2.0 * (q.w * q.y - q.z * q.x)
    sine = min(1.0, max(-1.0, sine))
    return Vec3(
        atan2(2.0 * (q.w * q.x + q.y * q.z), 1.0 - 2.0 * (q.x * q.x + q.y * q.y)),
        asin(sine),
        atan2(2.0 * (q.w * q.z + q.x * q.y), 1.0 - 2.0 * (q.y * q.y + q.z * q.z)),
    )


@compiled
def wrapped(angle_rad):
    """Return the angle brought into -pi..pi."""
    return atan2(sin(angle_rad), cos(angle_rad))
