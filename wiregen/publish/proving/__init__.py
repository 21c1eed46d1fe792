"""Proving a loom: the tests with their limits, the first power-up, and what was measured."""

from __future__ import annotations

from dataclasses import dataclass

from wiregen.connect import Network
from wiregen.layout.tables import Table
from wiregen.model import Design
from wiregen.publish.proving.checks import Check, check_table
from wiregen.publish.proving.continuity import continuity_checks
from wiregen.publish.proving.groups import Groups
from wiregen.publish.proving.isolation import isolation_checks, mirror_table
from wiregen.publish.proving.parts import part_checks
from wiregen.publish.proving.power_up import power_up_table, volts_table
from wiregen.publish.volts import expected

__all__ = ["Check", "Proof", "proof_tables", "prove", "result_table"]

_METER = (
    "Limit: expected + 10 mohm for each contact touched (from memory) + 0.2 ohm for a meter with "
    "zeroed leads (from memory). Every plug pulled apart, battery and units unplugged."
)
_APART = (
    "Multimeter: over 1 Mohm (common practice, no source). Insulation meter only with every unit "
    "unplugged: 200 to 1000 V, 100 Mohm or more (US Army SB 740-91-01); 250 to 500 V is ample for "
    "a low-voltage loom (from memory)."
)


@dataclass(frozen=True, slots=True)
class Proof:
    """Every test of a design by a meter."""

    continuity: tuple[Check, ...]
    isolation: tuple[Check, ...]
    parts: tuple[Check, ...]

    @property
    def checks(self) -> tuple[Check, ...]:
        """All of them."""
        return (*self.continuity, *self.isolation, *self.parts)


def prove(design: Design, network: Network) -> Proof:
    """Return the tests of a design.

    Args:
        design: the design.
        network: from `connect`.
    """
    groups = Groups(design, network)
    return Proof(
        continuity_checks(design, network, groups),
        isolation_checks(design, network, groups),
        part_checks(design, network),
    )


def proof_tables(design: Design, network: Network) -> list[Table]:
    """Return the test sheet: mirror check, continuity, isolation, parts, first power-up, volts."""
    proof = prove(design, network)
    found = expected(design, network)
    tables = [
        mirror_table(design, network, Groups(design, network)),
        check_table("continuity", "Continuity", proof.continuity, (_METER,)),
        check_table("isolation", "Isolation", proof.isolation, (_APART,)),
        check_table("parts-test", "Diodes, coils and buses", proof.parts, ()),
        power_up_table(design, network, found),
        volts_table(design, network, found.volts),
    ]
    return [table for table in tables if table.rows or table.name == "volts"]


def result_table(proof: Proof) -> Table:
    """Return every test as one table: what `wiregen record` reads back when it is filled in."""
    return check_table("test", "Test results", proof.checks, ())
