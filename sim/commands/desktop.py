"""Files by which a free desktop knows shared files and opens them by a double click.

MIME description and application entry as the freedesktop.org specifications for both say; the type's
name is our own and not registered.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

from sim.aircraft.textfile import write_text_atomic
from sim.errors import Refusal
from sim.sharing.container import EXTENSION

TYPE = "application/x-dryhop+zip"
NAME = "dryhop-open.desktop"
MIME = f"""<?xml version="1.0" encoding="UTF-8"?>
<mime-info xmlns="http://www.freedesktop.org/standards/shared-mime-info">
  <mime-type type="{TYPE}">
    <comment>dryhop drill or run</comment>
    <sub-class-of type="application/zip"/>
    <glob pattern="*{EXTENSION}"/>
  </mime-type>
</mime-info>
"""
ENTRY = """[Desktop Entry]
Type=Application
Version=1.0
Name=dryhop
Comment=Open a shared drill or run
Exec={command} open --by-click %f
MimeType={type};
Terminal=false
NoDisplay=true
Categories=Education;
"""
UPDATES = (("update-mime-database", "mime"), ("update-desktop-database", "applications"))


def quoted(argument: str) -> str:
    """Return an argument as the line `Exec` of an entry holds it."""
    inside = "".join("\\" + c if c in '"`$\\' else c for c in argument)
    return '"' + inside.replace("\\", "\\\\").replace("%", "%%") + '"'


def entry(*command: str) -> str:
    """Return the application entry for a program and its first arguments."""
    return ENTRY.format(command=" ".join(map(quoted, command)), type=TYPE)


def data_home() -> Path:
    """Return the folder of a user's data (XDG Base Directory Specification)."""
    found = os.environ.get("XDG_DATA_HOME", "")
    return Path(found) if os.path.isabs(found) else Path.home() / ".local" / "share"


def registered() -> list[Path]:
    """Write both files for this user and let the desktop know; return where they are."""
    if sys.platform in ("win32", "darwin"):
        raise Refusal("Only free desktops are told by files; choose dryhop there by hand.", "value")
    texts = {
        data_home() / "mime" / "packages" / "dryhop.xml": MIME,
        data_home() / "applications" / NAME: entry(sys.executable, "-m", "sim"),
    }
    for path, text in texts.items():
        path.parent.mkdir(parents=True, exist_ok=True)
        write_text_atomic(path, text)
    for program, folder in UPDATES:
        if (found := shutil.which(program)) is not None:
            subprocess.run([found, str(data_home() / folder)], capture_output=True, check=False)
    return list(texts)
