"""Ids that are nowhere in the file, few and many of them."""

from __future__ import annotations

import pytest

from tests.compute.designs import judged
from wiregen.check.rules import ref


def many(unknown: int) -> str:
    lines = ["format: 1", "splices: {J1: {}}", "wires:"]
    lines += [f"  W{n}: {{from: J1, to: Q{n}}}" for n in range(unknown)]
    lines += [f"  V{n}: {{from: J1, to: Q{n}}}" for n in range(unknown)]
    return "\n".join(lines) + "\n"


def test_the_nearest_is_sought_once_for_an_id_and_not_for_ever_more(monkeypatch) -> None:
    asked: list[str] = []
    monkeypatch.setattr(ref, "nearest", lambda name, known: asked.append(name) or "")
    counts = {}
    for unknown in (20, 400, 800):
        asked.clear()
        found = [p for p in judged(many(unknown)).findings if p.code == "REF102"]
        assert len(found) == 2 * unknown
        counts[unknown] = len(asked)
        assert len(set(asked)) == len(asked)
    assert counts[20] == 20
    assert counts[400] == counts[800] < 400


@pytest.mark.parametrize(
    ("line", "written"),
    [
        (
            "devices: {P1: {kind: lamp, terminals: [1], case: EP2}}",
            "earths: {EP2: {kind: chassis}}",
        ),
        ("plugs: {X1: {face: [[1]], mates: X2}}", "plugs: {X2: {title: ...}}"),
        ("splices: {J1: {loom: body}}", "looms: {body: {title: ...}}"),
        ("boxes: {FB1: {bars: {B: [F9]}}}", "fuses: {F9: {rating: 10}}"),
    ],
)
def test_what_is_missing_is_shown_as_the_key_asks_for_it(line: str, written: str) -> None:
    """An earth point is no splice; what is proposed can be read, and cures the finding."""
    (found,) = [p for p in judged(f"format: 1\n{line}\n").findings if p.code == "REF102"]
    assert found.help.endswith(f"to the file: '{written}'")
    cured = written.replace("...", "Body") + "\n"
    head, _, name = written.partition(": {")
    if line.startswith(head):
        cured, line = "", line[:-1] + ", " + name.replace("...", "Body")
    again = judged(f"format: 1\n{line}\n{cured}")
    assert "REF102" not in [p.code for p in again.findings]
