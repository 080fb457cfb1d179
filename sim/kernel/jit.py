"""How functions of the flight model are compiled.

Small functions use plain `njit`. Those that take whole states or parameter trees use `inner`:
always inlined, since passing hundreds of scalars costs more than the work, and without the wrapper
that would let Python call them.
"""

from numba import njit

inner = njit(forceinline=True, no_cpython_wrapper=True, no_cfunc_wrapper=True)
