"""Reading a design file: YAML text to records, each with its place in the file."""

from wiregen.read.loader import Loaded, load, load_text

__all__ = ["Loaded", "load", "load_text"]
