"""States of the compiled loop as plain Python has them."""

import numpy as np

from sim.kernel import records


def tree_of(kind, numbers):
    """Return the tree of a kind whose numbers come one after the other."""
    parts = records.parts(kind)
    if parts is None:
        number = next(numbers)
        return np.uint64(number) if kind is np.uint64 else number
    values = [tree_of(part, numbers) for _, part in parts]
    return kind(*values) if hasattr(kind, "_fields") else tuple(values)
