"""The command line: one verb, one job."""

from wiregen.cli.main import main

__all__ = ["main"]
