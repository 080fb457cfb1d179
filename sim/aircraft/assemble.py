"""From airframe, build, setup, site and conduct to the parameters of the flight model."""

from sim.aircraft.airframe import SIDES, Airframe
from sim.aircraft.avionics import (
    controller_params,
    estimator_params,
    field_params,
    radio_params,
    sensor_params,
    vec,
)
from sim.aircraft.build import Build
from sim.aircraft.conduct import Conduct
from sim.aircraft.powertrain import from_centre, pack_params, rotors
from sim.aircraft.site import Site, Standing
from sim.aircraft.world import World
from sim.kernel import air, ground, hands
from sim.kernel.air import STANDARD_GRAVITY_M_S2
from sim.kernel.body import BodyParams
from sim.kernel.frames import Quat, Vec3
from sim.kernel.vehicle import AirParams, Craft
from sim.units import KELVIN_AT_0_DEGC

HAND_STIFFNESS_RAD_S = 22.0  # rad/s; own: a firm two-handed grip, about 3.5 Hz
CLAMP_STIFFNESS_RAD_S = 90.0  # rad/s; own: bench clamp, about 14 Hz
TREMOR_RAD = 0.006  # rad; own: a third of a degree of hand tremor
TREMOR_S = 0.05  # s; physiological tremor is 8-12 Hz (value from memory)
TURN_LIMIT_RAD_S = 1.6  # rad/s; own: an unhurried turn by hand, 90 degrees in a second
HAND_SMOOTHING_S = 0.15  # s; own
WRIST_BELOW_M = 0.05  # m; own: hands hold the rear arms from below
BUMP_PER_S2 = 2000.0  # N/m per kg; own: arm end against a wall
BUMP_DAMPING_PER_S = 20.0  # N s/m per kg; own


def feet(airframe: Airframe, build: Build) -> tuple[Vec3, Vec3, Vec3, Vec3]:
    """Return the feet from the centre of gravity (m, body); a bent leg is shorter."""
    f = airframe.frame
    corners = [(x * f.foot_forward_m, y * f.foot_right_m) for x, y in SIDES.values()]
    nominal = from_centre(corners, f.foot_down_m, build)
    a, b, c, d = (
        Vec3(foot.x, foot.y, foot.z - lift)
        for foot, lift in zip(nominal, build.frame.leg_lift_m, strict=True)
    )
    return a, b, c, d


def standing(site: Site, conduct: Conduct) -> Standing:
    """Return where the aircraft is held or set down."""
    found: Standing = getattr(site.places, conduct.place)
    return found


def hold_params(
    airframe: Airframe, site: Site, conduct: Conduct, target: Quat, cable: bool
) -> hands.HoldParams:
    """Return how the aircraft is held, by the arms behind, turning towards `target`.

    cable : whether the set-up cable is in.
    """
    at = standing(site, conduct)
    grip = Vec3(airframe.frame.foot_forward_m, 0.0, -WRIST_BELOW_M)
    kind = {"standing": hands.FREE, "hands": hands.HANDS, "clamp": hands.CLAMP}[conduct.hold]
    in_hands = conduct.hold == "hands"
    return hands.HoldParams(
        kind=kind,
        stiffness_rad_s=HAND_STIFFNESS_RAD_S if in_hands else CLAMP_STIFFNESS_RAD_S,
        turn_limit_rad_s=TURN_LIMIT_RAD_S,
        smoothing_s=HAND_SMOOTHING_S,
        tremor_rad=TREMOR_RAD,
        tremor_s=TREMOR_S,
        grip_m=grip if in_hands else Vec3(0.0, 0.0, 0.0),
        wrist_m=Vec3(at.north_m, at.east_m, -at.height_m),
        target=target,
        led=0.0,
        lead_rad_s=Vec3(0.0, 0.0, 0.0),
        cable=float(cable),
    )


def room_params(site: Site) -> ground.Room:
    """Return walls and ceiling."""
    r = site.room
    return ground.Room(r.north_m, r.south_m, r.east_m, r.west_m, r.ceiling_m)


def contact_params(airframe: Airframe) -> ground.ContactParams:
    """Return legs and bumpers."""
    legs = airframe.legs
    return ground.ContactParams(
        legs.stiffness_n_m,
        legs.damping_n_s_m,
        legs.grip_stiffness_n_m,
        legs.grip_damping_n_s_m,
        legs.friction,
        BUMP_PER_S2 * airframe.mass_kg,
        BUMP_DAMPING_PER_S * airframe.mass_kg,
        0.5 * airframe.propeller.diameter_m,
    )


def air_params(site: Site) -> AirParams:
    """Return the air of the room: standard pressure at its height, its own temperature."""
    kelvin = site.temperature_degc + KELVIN_AT_0_DEGC
    density = air.pressure_pa(site.height_above_sea_m) / (air.GAS_CONSTANT_J_KG_K * kelvin)
    return AirParams(
        density,
        kelvin,
        Vec3(site.wind_north_m_s, site.wind_east_m_s, 0.0),
        site.gust_m_s,
        site.gust_s,
        site.wash,
    )


def assemble(world: World, target: Quat, cable: bool = False) -> Craft:
    """Return every parameter of the flight model.

    target : attitude the hands turn to; cable : whether the set-up cable is in.
    """
    airframe, build, setup, site, conduct = (
        world.airframe,
        world.build,
        world.setup,
        world.site,
        world.conduct,
    )
    frame = airframe.frame
    x, y, z = build.frame.cg_offset_m
    mass = airframe.mass_kg * build.frame.mass_factor
    return Craft(
        body=BodyParams(
            mass,
            Vec3(
                airframe.roll_inertia_kg_m2,
                airframe.pitch_inertia_kg_m2,
                airframe.yaw_inertia_kg_m2,
            ),
            STANDARD_GRAVITY_M_S2,
        ),
        rotors=rotors(airframe, build, conduct),
        diameter_m=airframe.propeller.diameter_m,
        spacing_m=frame.rotors_m.spacing_m,
        lateral_drag_n_s2_m=frame.lateral_drag_n_s2_m,
        frame_drag_n_s2_m2=frame.frame_drag_n_s2_m2,
        strap_shift_m=vec(build.frame.strap_shift_m),
        feet_m=feet(airframe, build),
        contact=contact_params(airframe),
        room=room_params(site),
        air=air_params(site),
        pack=pack_params(world.pack_spec, build.pack, build.leads, airframe.electronics),
        plugged=1.0 if conduct.pack_plugged else 0.0,
        radio=radio_params(airframe, build, setup),
        sensors=sensor_params(airframe, build),
        mag_place_m=Vec3(frame.compass_forward_m - x, -y, -frame.compass_up_m - z),
        field=field_params(site),
        estimator=estimator_params(setup, site),
        controller=controller_params(airframe, setup),
        hold=hold_params(airframe, site, conduct, target, cable),
    )
