"""Control loops: margins by python-control; the age of a stick's movement by counting."""

import numpy as np

from tools.authority.tables import Builder, Cell, Table


def loop_margins() -> Table:
    """Gain and phase margins of known loops, by python-control (delay: 8th-order Pade)."""
    import control

    s = control.tf("s")
    rate = 20 / (s * (0.05 * s + 1))
    delay = control.tf(*control.pade(0.01, 8))
    plant = 1 / (s * (s + 1) * (s + 5))
    ku = 30.0
    pu = 2 * np.pi / 5**0.5
    ti, td = pu / 2, pu / 8
    tuned = plant * 0.6 * ku * (1 + 1 / (ti * s) + td * s)
    rows: list[tuple[Cell, ...]] = []
    for case, loop in (
        ("rate", rate),
        ("rate-delayed", rate * delay),
        ("plant", plant),
        ("plant-tuned", tuned),
    ):
        gain, phase, turn, cross = control.margin(loop)
        rows.append((case, gain, turn, phase, cross))
    return (
        "case,gain_margin_ratio,phase_crossover_rad_s,phase_margin_deg,gain_crossover_rad_s",
        rows,
    )


def pilot_margins() -> Table:
    """Margins of the crossover model w e^(-tau s)/s, by python-control (8th-order Pade)."""
    import control

    s = control.tf("s")
    rows = []
    for cross, tau in ((3.0, 0.2), (4.0, 0.2), (3.3, 0.3), (4.75, 0.13)):
        gain, phase, _, _ = control.margin(cross / s * control.tf(*control.pade(tau, 8)))
        rows.append((cross, tau, phase, gain))
    return "crossover_rad_s,delay_s,phase_margin_deg,gain_margin_ratio", rows


def link_age() -> Table:
    """Mean time from a stick's movement to its arrival: half a frame less half a tick, and the way.

    The movement waits for the next frame; over all ticks of a frame that is 0 to frame - 1 ms.
    """
    pairs = ((10, 6), (20, 3))
    return "frame_ms,latency_ms,age_ms", [(f, way, way + (f - 1) / 2) for f, way in pairs]


BUILDERS: dict[str, Builder] = {
    "loop_margins": loop_margins,
    "pilot_margins": pilot_margins,
    "link_age": link_age,
}
