"""A file held by one program at a time; the system lets go of it when the program ends."""

import errno
import sys

_HELD = (errno.EACCES, errno.EAGAIN, errno.EDEADLK)  # what systems say of a file held elsewhere

if sys.platform == "win32":
    import msvcrt

    FAR = 1 << 40  # bytes; own: beyond any journal, since a locked byte can't be read there

    def _lock(descriptor: int) -> None:
        import os

        os.lseek(descriptor, FAR, os.SEEK_SET)
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        os.lseek(descriptor, 0, os.SEEK_SET)
else:
    import fcntl

    def _lock(descriptor: int) -> None:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)


def hold(descriptor: int) -> bool:
    """Hold an open file until it is closed; tell whether that went well.

    False if another program holds it. A file system that knows no locks holds nothing and says yes.
    """
    try:
        _lock(descriptor)
    except OSError as error:
        return error.errno not in _HELD
    return True
