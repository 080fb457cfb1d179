"""What each fault does in the air when nobody cured it, told by physical measures."""

import numpy as np
import pytest

from sim.trainees.hop import IDLE, keep
from sim.trainees.pilot import Goal, Pilot

SOUND, PITCH, COMPASS, GAINS, PACK = (
    "quiet-morning", "first-evening", "club-loaner", "second-hand", "spare-from-the-shelf",
)  # fmt: skip
SEEDS = (1, 2, 3)
CELLS = 3  # airframe file
each_seed = pytest.mark.parametrize("seed", SEEDS)


def airborne(session):
    """Return the track, and where the aircraft was well clear of the floor."""
    track = session.record().track
    return track, track["height_m"] > 0.5


def heading_error_deg(track):
    off = track["shown_heading_rad"] - track["heading_rad"]
    return np.degrees(np.angle(np.exp(1j * off)))


def predicted_error_deg(session, heading_rad):
    """Return the error that iron and current make level, by geometry of the horizontal vectors."""
    earth, sensors = session.rig.world.site.earth_field, session.rig.world.build.sensors
    soft = np.array(sensors.mag_soft_iron)
    hover_a = session.rig.world.airframe.sheet.hover_current_a
    added = np.array(sensors.mag_hard_iron_ut) + hover_a * np.array(sensors.mag_per_amp_ut_a)
    size, east_of_north = (
        np.hypot(earth.north_ut, earth.east_ut),
        np.arctan2(earth.east_ut, earth.north_ut),
    )
    level = (
        size * np.cos(east_of_north - heading_rad),
        size * np.sin(east_of_north - heading_rad),
        earth.down_ut,
    )
    x, y, _ = soft @ level + added
    return np.degrees(np.angle(np.exp(1j * (np.arctan2(-y, x) + east_of_north - heading_rad))))


@each_seed
def test_sound_aircraft_stays(flown, seed):
    session = flown(SOUND, seed)
    track, up = airborne(session)
    assert not session.view().crash
    assert np.hypot(track["north_m"], track["east_m"])[up].max() < 0.6  # m; nudges go out 0.35


@each_seed
def test_reversed_pitch_diverges(flown, seed):
    session = flown(PITCH, seed)
    track, _ = airborne(session)
    away = np.hypot(track["north_m"], track["east_m"])
    far = track["time_s"][away > 1.5]  # m; half way to the wall, where the hop must be cut
    assert far.size
    assert far[0] - session.record().takeoff_s < 20.0
    assert abs(track["north_m"]).max() > 3.0 * abs(track["east_m"]).max()  # along the nose


@each_seed
def test_sound_heading_is_right(flown, seed):
    track, up = airborne(flown(SOUND, seed))
    # deg; what makes a compass unsound; scatter of iron, soft iron and leads alone is 1.5 deg rms
    assert abs(heading_error_deg(track)[up]).max() < 5.0


@pytest.mark.parametrize("seed", [2, 3, 5, 6, 7])
def test_bad_offset_shows_in_the_planned_hop(flown, seed):
    """Five degrees off somewhere in the hop. Seeds 4 and 8 would not show it: their iron lies ahead,
    where the error passes through zero, and the yaw nudge of 25 deg is too small to leave it."""
    track, up = airborne(flown(COMPASS, seed))
    assert abs(heading_error_deg(track)[up]).max() > 5.0


@pytest.mark.parametrize("seed", [1, 4, 7, 8])  # seeds whose error is steep about north
def test_bad_offset_swings_over_the_yaw_nudge(flown, seed):
    session = flown(COMPASS, seed)
    swing = predicted_error_deg(session, np.radians(25.0)) - predicted_error_deg(session, 0.0)
    assert abs(swing) > 5.0
    track, up = airborne(session)
    seen = np.ptp(heading_error_deg(track)[up])
    # a nudge lasts 3 s, the filter's time constant is 1/0.4 s: it shows 1 - e^-1.2 = 70 % at most
    assert 0.5 * abs(swing) < seen < 1.1 * abs(swing)
    assert seen > 3.5


@each_seed
def test_bad_offset_errs_once_per_turn_as_geometry_says(on_pad, seed):
    session, hands = on_pad(COMPASS, seed)
    control = hands.see().setup.controller
    pilot = Pilot(
        np.radians(control.tilt_limit_deg), np.radians(control.yaw_rate_limit_deg_s), 0.487
    )
    hands.fly(IDLE, 1.0)
    assert keep(hands, pilot, Goal(0.0, 0.0, 1.0, 0.0), 6.0)
    errors = []
    for quarter in range(4):
        heading = quarter * np.pi / 2.0
        assert keep(hands, pilot, Goal(0.0, 0.0, 1.0, heading), 12.0)
        track = session.record().track.last(1.0)
        errors.append(heading_error_deg(track).mean())
        # deg; 12 s are five time constants of the filter, and 3 deg the pilot's own slack in yaw
        assert errors[-1] == pytest.approx(predicted_error_deg(session, heading), abs=3.0)
    assert (
        np.ptp(errors) > 20.0
    )  # deg; asin(8.5/19.6) is 26 deg to each side, quarters miss the peak


def limit_cycle(session):
    """Return (frequency in Hz, rms of pitch rate in rad/s, rms of a motor command) while hovering.

    All above 8 Hz: what hands and the room's air make is slower.
    """
    track, up = airborne(session)
    end = track["time_s"][up][-1] - 12.0  # s; before the landing
    held = up & (track["time_s"] > end - 10.24) & (track["time_s"] <= end)
    frequency = np.fft.rfftfreq(int(held.sum()), 0.01)
    spectra, sizes = [], []
    for name in ("pitch_rate_rad_s", "drive_front_left"):
        signal = track[name][held]
        spectrum = np.abs(np.fft.rfft((signal - signal.mean()) * np.hanning(len(signal))))
        spectra.append(spectrum * (frequency > 8.0))
        sizes.append(np.sqrt(2.0 * (spectra[-1] ** 2).sum() / (len(signal) ** 2 * 0.375)))
    return frequency[spectra[0].argmax()], *sizes


@each_seed
def test_high_gains_ring(flown, seed):
    frequency_hz, rate, drive = limit_cycle(flown(GAINS, seed))
    _, sound_rate, sound_drive = limit_cycle(flown(SOUND, seed))
    assert 12.0 <= frequency_hz <= 22.0  # Hz; design 4 measured 16
    assert rate >= 3.0 * sound_rate  # the wash leaves some of its own
    assert drive >= 3.0 * sound_drive


@each_seed
def test_worn_pack_sags_and_alarms(flown, seed):
    session = flown(PACK, seed)
    track, up = airborne(session)
    assert (track["pack_v"][up] / CELLS).min() < 3.51  # V a cell; lands at 3.5 under load
    assert session.view().alarm
    hop_s = track["time_s"][up][-1] - session.record().takeoff_s
    assert hop_s < session.scenario.hop.planned_s  # it came before the planned end


@each_seed
def test_sound_pack_lasts(flown, seed):
    session = flown(SOUND, seed)
    track, up = airborne(session)
    assert (track["pack_v"][up] / CELLS).min() > 3.7
    assert not session.view().alarm


@each_seed
def test_worn_pack_makes_the_throttle_creep_up(flown, seed):
    def creep(session):
        track, up = airborne(session)
        stick = track["stick_throttle"][up & (track["time_s"] > session.record().takeoff_s + 5.0)]
        rise = stick[-1400:-1200].mean() - stick[:200].mean()  # two-second means; 12 s to land
        return rise / len(stick)

    # a worn pack drops about four times a sound one, so twice is told apart by far
    assert creep(flown(PACK, seed)) > 2.0 * creep(flown(SOUND, seed)) > 0.0
