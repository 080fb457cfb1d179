"""The compiler, and all of it that the kernel uses beyond what it promises to keep.

It looks in scipy for linear algebra, which nothing here compiles, and is a quarter of a second
slower for it; so it is loaded as if there were no scipy.
"""

import sys

_hidden = "scipy" not in sys.modules
if _hidden:
    sys.modules["scipy"] = None  # type: ignore[assignment]  # how Python notes what is not there
try:
    import numba
    import numba.np.arraymath  # it looks here
    from numba.core import types
    from numba.core.errors import TypingError
    from numba.core.typing.templates import AttributeTemplate
    from numba.extending import (
        infer_getattr,
        intrinsic,
        lower_builtin,
        lower_getattr_generic,
        models,
        register_model,
        type_callable,
    )
finally:
    if _hidden:
        del sys.modules["scipy"]

__all__ = [
    "AttributeTemplate",
    "TypingError",
    "infer_getattr",
    "intrinsic",
    "lower_builtin",
    "lower_getattr_generic",
    "models",
    "numba",
    "register_model",
    "type_callable",
    "types",
]
