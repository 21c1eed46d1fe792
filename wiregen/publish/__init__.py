"""What leaves the program: whole files on disk, and one design with everything made from it."""

from wiregen.publish.document import Document, Drawing
from wiregen.publish.files import CannotWrite, write_files

__all__ = ["CannotWrite", "Document", "Drawing", "write_files"]
