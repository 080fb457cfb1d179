"""Conversions at the edges; inside, everything is SI (magnetic fields in uT)."""

from math import pi

RAD_PER_DEG = pi / 180.0  # rad/deg, definition
RAD_S_PER_RPM = 2.0 * pi / 60.0  # (rad/s)/rpm, definition
S_PER_MS = 0.001  # s/ms, definition
C_PER_AH = 3600.0  # C/Ah, definition
KELVIN_AT_0_DEGC = 273.15  # K, definition
KG_M_PER_G_MM = 1e-6  # kg m/(g mm), definition
M_PER_IN = 0.0254  # m/in, definition
M_PER_MM = 0.001  # m/mm, definition
KG_PER_G = 0.001  # kg/g, definition
