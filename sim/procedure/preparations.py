"""What sets people and place to rights, and which values of the world that changes."""

PREPARATIONS: dict[str, tuple[str, dict[str, object]]] = {
    "goggles": ("Goggles on, for everybody here.", {"conduct.goggles_on": True}),
    "spotter": ("The spotter stands ready to call the abort.", {"conduct.spotter_present": True}),
    "clear-ring": ("Nobody is inside the ring.", {"conduct.person_in_ring": False}),
    "brief-abort": (
        "Words and signs to cut are agreed and tried.",
        {"conduct.abort_briefed": True},
    ),
    "sweep": ("Three metres round the pad are swept.", {"conduct.debris_swept": True}),
    "mark-nose": ("A bright mark shows the nose.", {"conduct.nose_marked": True}),
    "shut-door": (
        "Door shut, fan off.",
        {"site.wind_north_m_s": 0.0, "site.wind_east_m_s": 0.0, "site.gust_m_s": 0.03},
    ),
    "move-pad": (
        "The pad lies where the heading stays the same when lifted.",
        {"site.pad_steel": False},
    ),
    "watch-charge": ("Somebody stays with the charger.", {"conduct.charge_watched": True}),
    "warm-pack": ("The pack has come to room temperature.", {"build.pack.temperature_degc": 20.0}),
    "bigger-room": (
        "Moved to the big end of the hall.",
        {"site.room.ceiling_m": 4.0, "site.room.north_m": 6.0, "site.room.south_m": -6.0},
    ),
}
