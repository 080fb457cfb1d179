"""Bake the backdrops of the window: `python tools/bake_room.py [NAME ...] [--quick]`.

Writes assets/pictures/NAME.webp (colours) and NAME.npz (inverse depths). One to four minutes of a
core for each. Pillow writes the WebP files here; the window does without it.
"""

import sys
import time

import numpy as np
from scipy.ndimage import gaussian_filter

from sim.aircraft import library
from sim.paths import assets_dir
from sim.window.scene.bake import QUICK, SHIPPED, Backdrop, bake
from sim.window.scene.closeups import closeup
from sim.window.scene.rooms import pad_camera, pad_stage

SITE = "lockup-garage"
NAMES = ("pad", "bench", "floor", "cupboard")
FOCUS_PER_M = 0.85  # 1/m; own: the aircraft is about 1.2 m from the eye
IN_FOCUS_PER_M = 0.14  # 1/m; own: sharp from 1.0 to 1.4 m
BLUR_PX_M = 9.0  # px m; own: at the full size
QUALITY = 90  # of 100; own: no block edges to be seen


def backdrop(name: str, quick: bool) -> Backdrop:
    """Return one backdrop."""
    effort = QUICK if quick else SHIPPED
    if name == "pad":
        room = library.site(SITE).room
        return bake(pad_stage(room), pad_camera(room), effort)
    close = closeup(name)
    return softened(bake(close.stage, close.camera, effort))


def softened(made: Backdrop) -> Backdrop:
    """Return a close view with what lies far out of focus, as a near-sighted lens shows it."""
    away = np.abs(FOCUS_PER_M - made.inverse_depth.astype(float))
    circle = np.clip(away - IN_FOCUS_PER_M, 0.0, None) * BLUR_PX_M * made.colours.shape[1] / 1540
    sharp = made.colours.astype(float)
    out = sharp
    for level in (0.7, 1.5, 2.5, 4.0):
        mask = np.clip((circle - 0.4 * level) / (0.3 * level), 0.0, 1.0)
        weight = gaussian_filter(mask, level)
        spread = [gaussian_filter(sharp[..., k] * mask, level) for k in range(3)]
        soft = np.stack(spread, axis=-1) / np.maximum(weight, 1e-6)[..., None]
        out = out * (1 - mask[..., None]) + soft * mask[..., None]
    return Backdrop(np.clip(out + 0.5, 0, 255).astype(np.uint8), made.inverse_depth)


def write(name: str, made: Backdrop) -> None:
    """Write colours and inverse depths."""
    from PIL import Image

    folder = assets_dir() / "pictures"
    folder.mkdir(exist_ok=True)
    Image.fromarray(made.colours).save(folder / f"{name}.webp", quality=QUALITY, method=6)
    np.savez_compressed(folder / f"{name}.npz", inverse_depth=made.inverse_depth)


def main() -> None:
    """Bake what the command line names."""
    names = [a for a in sys.argv[1:] if not a.startswith("-")] or list(NAMES)
    for name in names:
        start = time.perf_counter()
        write(name, backdrop(name, "--quick" in sys.argv))
        print(f"{name}: {time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
