"""From hands to stick positions: keys, stick modes, devices and how to teach one. Pure."""
