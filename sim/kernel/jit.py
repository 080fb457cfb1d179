"""How functions of the flight model are compiled.

Small functions are `compiled`, and kept on disk since the bench and the truth predicates call them
one by one. Those that take whole states or parameter trees use `inner`:
always inlined, since passing hundreds of scalars costs more than the work, and without the wrapper
that would let Python call them.
"""

from numba import njit

compiled = njit(cache=True, nogil=True)
inner = njit(  # type: ignore[call-overload]
    forceinline=True, no_cpython_wrapper=True, no_cfunc_wrapper=True
)
