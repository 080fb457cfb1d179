"""Benchmarks run only when asked for: they measure, they do not guard."""

import os

import pytest

for part in ("SDL_VIDEODRIVER", "SDL_AUDIODRIVER"):
    os.environ.setdefault(part, "dummy")  # unless one is named: what pixels cost without a screen


@pytest.fixture(autouse=True)
def _only_when_enabled(request: pytest.FixtureRequest) -> None:
    if request.node.get_closest_marker("bench") and not request.config.getoption(
        "--benchmark-enable"
    ):
        pytest.skip("a benchmark: run with --benchmark-enable")
