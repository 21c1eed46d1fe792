"""Where the command starts and ends: exit codes, quiet endings, and bugs of our own."""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence

OWN_BUG = 70
INTERRUPTED = 130


def main(args: Sequence[str] | None = None) -> None:
    """Run the command line and leave with its exit code.

    0 fine; 1 errors found in the design; 2 unreadable input or wrong usage; 70 a bug of wiregen;
    130 stopped by Ctrl-C. A reader of the output that leaves early is no fault: typer ends quietly.

    Args:
        args: words after the command name; taken from the command line when None.
    """
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    collecting = gc.isenabled()
    gc.disable()  # a run is short and makes no rings; looking for them costs a fifth of its time
    try:
        code = _run(args)
    except KeyboardInterrupt:
        code = INTERRUPTED
    except Exception:
        code = _own_bug()
    finally:
        if collecting:
            gc.enable()
    sys.exit(code)


def _run(args: Sequence[str] | None) -> int:
    """Call the typer app and return the exit code it asks for."""
    from wiregen.cli.app import app

    try:
        app(args=args, prog_name="wiregen")
    except SystemExit as leaving:
        return leaving.code if isinstance(leaving.code, int) else OWN_BUG
    return 0


def _own_bug() -> int:
    import platform
    import traceback

    from wiregen import __version__

    traceback.print_exc()
    print(
        "\nThis is a bug in wiregen, not a fault in your design. Please report the lines above,\n"
        f"with the design if you can: wiregen {__version__}, Python {platform.python_version()}",
        file=sys.stderr,
    )
    return OWN_BUG
