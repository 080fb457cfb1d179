"""What sets people and place to rights, and which values of the world that changes."""

PREPARATIONS: dict[str, tuple[str, dict[str, object]]] = {
    "goggles": (
        "Goggles on, for everybody here.",
        {"conduct.goggles_on": True, "conduct.helper_goggled": True},
    ),
    "spotter": (
        "The spotter stands ready to call the abort.",
        {"conduct.spotter_present": True, "conduct.helper_here": True},
    ),
    "clear-ring": (
        "Nobody is inside the ring, and the barrier is across the way in.",
        {"conduct.person_in_ring": False, "conduct.visitor_strays": False},
    ),
    "brief-abort": (
        "Words and signs to cut are agreed and tried.",
        {"conduct.abort_briefed": True},
    ),
    "hands-rule": (
        "Agreed, and said back: disarmed, unplugged, standing still, and only then a hand.",
        {"conduct.reaches_into_discs": False},
    ),
    "restart-card": (
        "The phone is off and lies in the car; the card starts again from its head.",
        {"conduct.phone_rings": False},
    ),
    "retest-repairs": (
        "Every repair in the log is tried by the check that would show it, and signed.",
        {"conduct.repairs_untried": 0},
    ),
    "sweep": ("Three metres round the pad are swept.", {"conduct.debris_swept": True}),
    "mark-nose": ("A bright mark shows the nose.", {"conduct.nose_marked": True}),
    "shut-door": (
        "Door shut, fan off.",
        {"site.wind_north_m_s": 0.0, "site.wind_east_m_s": 0.0, "site.gust_m_s": 0.03},
    ),
    "move-pad": (
        "The pad lies where the heading stays the same when lifted.",
        {"site.pad_steel": 0.0},
    ),
    "watch-charge": ("Somebody stays with the charger.", {"conduct.charge_watched": True}),
    "warm-pack": ("The pack has come to room temperature.", {"build.pack.temperature_degc": 20.0}),
    "bigger-room": (
        "Moved to the big end of the hall.",
        {
            "site.room.ceiling_m": 4.0,
            "site.room.north_m": 6.0,
            "site.room.south_m": -6.0,
            "site.room.east_m": 4.0,
            "site.room.west_m": -4.0,
        },
    ),
}
