"""Proving a loom: the tests with their limits, the first power-up, and what was measured."""

from __future__ import annotations

from dataclasses import dataclass

from wiregen.connect import Network
from wiregen.layout.tables import Table
from wiregen.model import Design
from wiregen.publish.proving.cavity_volts import volt_checks, volts_table
from wiregen.publish.proving.checks import Check, check_table
from wiregen.publish.proving.continuity import continuity_checks
from wiregen.publish.proving.groups import Groups
from wiregen.publish.proving.isolation import isolation_checks, mirror_table
from wiregen.publish.proving.parts import part_checks
from wiregen.publish.proving.power_up import Step, power_steps, power_up_table
from wiregen.publish.proving.under_load import CANNOT
from wiregen.publish.volts import Expected, expected

__all__ = ["Check", "Proof", "proof_tables", "prove", "result_table"]

_METER = (
    "Limit: expected + 10 mohm for each contact touched (from memory) + 0.2 ohm for a meter with "
    "zeroed leads (from memory). Every plug pulled apart, battery and units unplugged."
)
_LOADED = (
    "An ohmmeter cannot judge a wire whose current would lose more in those 0.2 ohm than the "
    "design allows (10 % where it sets no limit): measure between its ends, with the battery "
    "connected and the load on."
)
_PAIRS = "X1:8/2 is between X1:8 and X1:2. Found at: the pin it was joined to, where it was."
_APART = (
    "Multimeter: over 1 Mohm (common practice, no source). Insulation meter only with every unit "
    "unplugged: 200 to 1000 V, 100 Mohm or more (US Army SB 740-91-01); 250 to 500 V is ample for "
    "a low-voltage loom (from memory)."
)


@dataclass(frozen=True, slots=True)
class Proof:
    """Every test of a design by a meter.

    Attributes:
        continuity: of every wire.
        isolation: of what is not joined.
        parts: diodes, coils, buses.
        steps: of the first power-up.
        volts: at every cavity in every state.
        found: what is computed of the states.
        mirror: pins that tell a mirrored plug.
    """

    continuity: tuple[Check, ...]
    isolation: tuple[Check, ...]
    parts: tuple[Check, ...]
    steps: tuple[Step, ...]
    volts: tuple[Check, ...]
    found: Expected
    mirror: Table

    @property
    def checks(self) -> tuple[Check, ...]:
        """All of them, in the order they are made."""
        steps = (step.check for step in self.steps)
        return (*self.continuity, *self.isolation, *self.parts, *steps, *self.volts)


def prove(design: Design, network: Network, found: Expected | None = None) -> Proof:
    """Return the tests of a design.

    Args:
        design: the design.
        network: from `connect`.
        found: what is computed of its states, where it is known already.
    """
    groups = Groups(design, network)
    found = expected(design, network) if found is None else found
    return Proof(
        continuity_checks(design, network, groups, found.points),
        isolation_checks(design, network, groups),
        part_checks(design, network),
        power_steps(design, network, found),
        volt_checks(design, network, found),
        found,
        mirror_table(design, network, groups),
    )


def proof_tables(design: Design, network: Network, proof: Proof | None = None) -> list[Table]:
    """Return the test sheet: mirror check, continuity, isolation, parts, first power-up, volts.

    Args:
        design: the design.
        network: from `connect`.
        proof: from `prove`, where it is there already.
    """
    proof = proof or prove(design, network)
    tables = [
        proof.mirror,
        check_table("continuity", "Continuity", proof.continuity, _notes(proof)),
        check_table("isolation", "Isolation", proof.isolation, (_PAIRS, _APART)),
        check_table("parts-test", "Diodes, coils and buses", proof.parts, ()),
        power_up_table(proof.steps),
        volts_table(design, network, proof.found),
    ]
    return [table for table in tables if table.rows or table.name == "volts"]


def _notes(proof: Proof) -> tuple[str, ...]:
    loaded = any(CANNOT in check.words for check in proof.continuity)
    return (_METER, _LOADED) if loaded else (_METER,)


def result_table(proof: Proof) -> Table:
    """Return every test as one table: what `wiregen record` reads back when it is filled in."""
    checks = [check for check in proof.checks if check.has_limits]
    return check_table("test", "Test results", checks, ())
