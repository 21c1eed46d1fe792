"""Every table of a design, with the same rows for paper and for spreadsheets."""

from __future__ import annotations

from collections.abc import Callable

from wiregen.connect import Network
from wiregen.layout.tables import Table
from wiregen.model import Design
from wiregen.publish.tables.crimps import contact_table, crimp_table
from wiregen.publish.tables.cutting import Cutting, cut_table, reel_table
from wiregen.publish.tables.finder import finder_table
from wiregen.publish.tables.fuses import earth_table, fuse_table
from wiregen.publish.tables.joints import splice_table
from wiregen.publish.tables.known import pins_table
from wiregen.publish.tables.labels import label_table
from wiregen.publish.tables.parts import parts_table
from wiregen.publish.tables.plugs import plug_table
from wiregen.publish.tables.units import lamp_table, lost_table
from wiregen.publish.tables.wires import fate_table, wire_table

__all__ = ["TABLES", "Cutting", "Maker", "all_tables"]

Maker = Callable[[Design, Network, Cutting], Table]

TABLES: tuple[Maker, ...] = (
    wire_table,
    cut_table,
    reel_table,
    contact_table,
    crimp_table,
    splice_table,
    parts_table,
    finder_table,
    fuse_table,
    earth_table,
    plug_table,
    lamp_table,
    lost_table,
    fate_table,
    pins_table,
    label_table,
)


def all_tables(design: Design, network: Network, cutting: Cutting | None = None) -> list[Table]:
    """Return every table of a design.

    Args:
        design: the design.
        network: from `connect`.
        cutting: allowance and step of cut lengths.
    """
    return [make(design, network, cutting or Cutting()) for make in TABLES]
