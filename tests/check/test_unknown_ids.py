"""Ids that are nowhere in the file, few and many of them."""

from __future__ import annotations

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
