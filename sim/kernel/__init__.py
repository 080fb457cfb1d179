"""The physics: compiled, pure, no input or output. State and parameters in, state out."""

from sim.kernel import cache

cache.use_cache_keyed_by_source()
