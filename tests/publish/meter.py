"""A loom as it was really built, and a man with a meter who fills in its test sheet.

Nothing here knows how results are judged: readings follow from the wires alone.
"""

from __future__ import annotations

import csv
import heapq
import io
from collections.abc import Callable, Iterable
from pathlib import Path

import yaml

CONTACT_OHM, LEADS_OHM = 0.005, 0.05
OHM_PER_M = 0.02


class Loom:
    """The wires of a design file as they were built."""

    def __init__(self, path: Path) -> None:
        design = yaml.safe_load(path.read_text("utf-8"))
        self.plugs = {str(name) for name in design["plugs"]}
        self.drawn = {
            str(name): (str(wire["from"]), str(wire["to"]))
            for name, wire in design["wires"].items()
        }
        self.built = {name: list(ends) for name, ends in self.drawn.items()}
        self.ohm = {
            str(name): OHM_PER_M * float(wire.get("length", 1000)) / 1000
            for name, wire in design["wires"].items()
        }
        self.bridges: list[tuple[str, str]] = []

    # ---- mistakes ----

    def swap(self, one: str, two: str, plug: str) -> None:
        """Exchange the contacts of two wires in a plug."""
        here, there = self._end(one, plug), self._end(two, plug)
        self.built[one][here], self.built[two][there] = (
            self.built[two][there],
            self.built[one][here],
        )

    def mirror(self, plug: str, places: dict[str, str]) -> None:
        """Load a plug as seen from the wrong side: cavity -> where its contact went."""
        for ends in self.built.values():
            for place, node in enumerate(ends):
                owner, _, cavity = node.partition(":")
                if owner == plug:
                    ends[place] = f"{plug}:{places.get(cavity, cavity)}"

    def cut(self, wire: str) -> None:
        """Break a wire, or leave its contact unlatched."""
        self.built[wire][1] = f"nowhere {wire}"

    def put(self, wire: str, owner: str, node: str) -> None:
        """Let the end of a wire that belongs to a plug or splice end somewhere else."""
        self.built[wire][self._end(wire, owner)] = node

    def bridge(self, one: str, two: str) -> None:
        """Let two cavities touch."""
        self.bridges.append((one, two))

    def _end(self, wire: str, owner: str) -> int:
        return next(n for n, node in enumerate(self.built[wire]) if node.split(":")[0] == owner)

    # ---- the meter ----

    def ohms_from(self, start: str) -> dict[str, float]:
        """What a meter shows between a node and every node it is joined to."""
        steps: dict[str, list[tuple[str, float]]] = {}
        pairs = [(*ends, self.ohm[wire]) for wire, ends in self.built.items()]
        pairs += [(*pair, 0.0) for pair in self.bridges]
        for one, two, ohm in pairs:
            steps.setdefault(one, []).append((two, ohm))
            steps.setdefault(two, []).append((one, ohm))
        found: dict[str, float] = {}
        queue = [(0.0, start)]
        while queue:
            ohm, here = heapq.heappop(queue)
            if here not in found:
                found[here] = ohm
                for there, more in steps.get(here, ()):
                    heapq.heappush(queue, (ohm + more, there))
        return found

    def belongs_with(self, start: str) -> set[str]:
        """What a node is joined to as drawn."""
        found, queue = {start}, [start]
        while queue:
            here = queue.pop()
            for ends in self.drawn.values():
                if here in ends:
                    new = set(ends) - found
                    found |= new
                    queue += new
        return found


def fill_in(
    loom: Loom,
    sheet: str,
    *,
    looks: bool = True,
    skip: Iterable[str] = (),
    colours: dict[str, str] | None = None,
    write: Callable[[float], str] = lambda ohm: f"{ohm:.2f}",
) -> str:
    """Return a test sheet (CSV) filled in at a loom.

    Args:
        loom: as it was built.
        sheet: `NAME-test.csv` as wiregen writes it.
        looks: the man looks where a wire has gone that does not read; else he writes OL only.
        skip: tests he forgets.
        colours: wire -> colour he notes.
        write: how he writes ohms.
    """
    rows = list(csv.DictReader(io.StringIO(sheet)))
    for row in rows:
        test, start, end = row["Test"], row["Probe"], row["Probe to"]
        if test in skip:
            continue
        joined = loom.ohms_from(start)
        if test.startswith("ISO-"):
            strange = _strange(loom, row, joined)
            row["Reading"] = "OL"
            if strange:
                row["Reading"] = write(joined[strange] + LEADS_OHM)
                row["Found at"] = strange if looks else ""
        elif test in loom.drawn:
            row["Colour seen"] = (colours or {}).get(test, "")
            if end in joined:
                row["Reading"] = write(joined[end] + 2 * CONTACT_OHM + LEADS_OHM)
            else:
                row["Reading"] = "OL"
                row["Found at"] = _other_end(loom, start, joined) if looks else ""
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def _strange(loom: Loom, row: dict[str, str], joined: dict[str, float]) -> str:
    """Return a place that reads although it must not: next pins first, then anything."""
    near = []
    for pair in filter(None, row["Isolated from"].split(", ")):
        node, _, cavity = pair.partition("/")
        near.append(f"{node.split(':')[0]}:{cavity}")
    nominal = loom.belongs_with(row["Probe"])
    places = [*near, *sorted(node for node in joined if node.split(":")[0] in loom.plugs)]
    return next((node for node in places if node in joined and node not in nominal), "")


def _other_end(loom: Loom, start: str, joined: dict[str, float]) -> str:
    """Return where a wire comes out, as found with the other probe in every cavity."""
    places = sorted(joined, key=lambda node: (joined[node], node))
    return next(
        (n for n in places if n != start and ":" in n and n.split(":")[0] in loom.plugs), ""
    )
