"""Seeded wiring graphs drawn from design files, measured from the SVG, held against a reference.

Source of the reference: see `wiring_graphs.REFERENCE`. It has no figure for area; wire length on
the same boxes is compared instead.
"""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.layout.graph_designs import design_end, design_text
from tests.layout.placement_lint import figures as placement_figures
from tests.layout.svg_figures import (
    badly_labelled,
    crossings_and_touches,
    faults,
    figures,
    off_pins,
    read_svg,
    side_by_side,
    through_boxes,
)
from tests.layout.wiring_graphs import PITCH, REFERENCE, as_graph, wiring
from wiregen.layout.engine import lay_out
from wiregen.publish import Document

SEEDS = [(size, seed) for size in ("small", "medium") for seed in REFERENCE[size]]
FURTHER = [("small", 31), ("medium", 31), ("medium", 32)]


@pytest.fixture(scope="module")
def sheets(tmp_path_factory):
    """Every graph drawn on one sheet, by size and seed."""
    folder = tmp_path_factory.mktemp("graphs")
    found = {}
    for size, seed in [*SEEDS, *FURTHER]:
        path = folder / f"{size}-{seed}.yaml"
        path.write_text(design_text(wiring(size, seed)), encoding="utf-8")
        (drawing,) = [d for d in Document(path).draw() if d.name.startswith("sheet-")]
        found[size, seed] = read_svg(drawing.svg)
    return found


@pytest.mark.parametrize(("size", "seed"), [*SEEDS, *FURTHER])
def test_the_sheet_says_what_the_graph_says(sheets, size, seed):
    graph = wiring(size, seed)
    said = {wire.name: wire.ends for wire in sheets[size, seed].wires}
    assert said == {
        wire["id"]: tuple(design_end(graph, *wire[key]) for key in ("a", "b"))
        for wire in graph["wires"]
    }


@pytest.mark.parametrize(("size", "seed"), [*SEEDS, *FURTHER])
def test_no_sheet_has_a_fault(sheets, size, seed):
    assert faults(sheets[size, seed]) == []


@pytest.mark.parametrize(("size", "seed"), SEEDS)
def test_no_graph_has_many_more_crossings_than_the_reference(sheets, size, seed):
    assert figures(sheets[size, seed])[0] <= 1.25 * REFERENCE[size][seed][0]


@pytest.mark.parametrize("size", ["small", "medium"])
def test_the_sums_are_as_good_as_the_reference(sheets, size):
    found = [figures(sheets[size, seed]) for seed in REFERENCE[size]]
    wanted = REFERENCE[size].values()
    assert sum(f[0] for f in found) <= sum(w[0] for w in wanted)
    assert sum(f[1] for f in found) <= 1.1 * sum(w[1] for w in wanted)


@pytest.mark.parametrize("size", ["small", "medium"])
def test_no_more_wire_than_the_reference_on_the_same_boxes(size):
    pitch_mm = 5.0
    length = sum(
        placement_figures(lay_out(as_graph(wiring(size, seed), pitch_mm, max_height=400.0)))[2]
        for seed in REFERENCE[size]
    )
    assert length * PITCH / pitch_mm <= sum(wanted[2] for wanted in REFERENCE[size].values())


def test_the_command_draws_the_same_sheet(tmp_path, sheets):
    path = tmp_path / "graph.yaml"
    path.write_text(design_text(wiring("medium", 2)), encoding="utf-8")
    command = [sys.executable, "-m", "wiregen", "draw", str(path), "-o", str(tmp_path / "drawn")]
    subprocess.run(command, check=True, capture_output=True)
    (file,) = (tmp_path / "drawn").glob("*-sheet-*.svg")
    assert read_svg(file.read_text(encoding="utf-8")) == sheets["medium", 2]


WIRE = (
    '<g class="wire" data-wire="{0}" data-from="X1:{1}" data-to="X2:{1}">'
    '<path class="run" d="{2}"/>{3}</g>'
)
LABEL = '<text class="wire-label" x="{}" y="{}">W1 BU 1.0</text>'


def sheet(*wires, more=""):
    pins = "".join(
        f'<g class="pin" data-pin="X{side}:{n}" data-x="{x}" data-y="{5 * n}"/>'
        for n in range(1, 5)
        for side, x in ((1, 10), (2, 90))
    )
    return read_svg(f'<svg xmlns="http://www.w3.org/2000/svg">{pins}{"".join(wires)}{more}</svg>')


def wire(name, pin, path, label=None):
    return WIRE.format(name, pin, path, LABEL.format(*label) if label else "")


def test_the_measures_see_what_is_wrong():
    straight = wire("W1", 1, "M10 5 H90", (30, 4))
    assert faults(sheet(straight)) == []
    assert faults(sheet(wire("W1", 1, "M10 5 H90"))) == [("label", ("W1", "no label"))]
    assert off_pins(sheet(wire("W1", 1, "M10 5 H89"))) == [("W1", "X2:1")]
    assert badly_labelled(sheet(wire("W1", 1, "M10 5 H90", (85, 4))))
    across = wire("W2", 2, "M10 10 H35 V2 H80 V10 H90", (50, 1))
    assert ("W1", "W2") in badly_labelled(sheet(straight, across))
    crossed, touching = crossings_and_touches(sheet(straight, across))
    assert (crossed, touching) == (2, [])
    assert figures(sheet(across))[1:3] == (4, 25 + 8 + 45 + 8 + 10)
    corner = wire("W2", 2, "M10 10 H35 V5 H90 V10")
    assert crossings_and_touches(sheet(straight, corner))[1]
    assert side_by_side(sheet(straight, corner))[0] == [("W1", "W2")]
    beside = wire("W2", 2, "M10 10 V6.5 H90 V10")
    assert side_by_side(sheet(straight, beside))[1] == [("W1", "W2")]
    box = (
        '<g class="plug" data-plug="X3"><rect class="body" x="40" y="2" width="9" height="9"/></g>'
    )
    assert through_boxes(sheet(straight, more=box)) == [("W1", "X3")]
    with pytest.raises(ValueError, match="only M, H and V"):
        sheet(wire("W1", 1, "M10 5 L90 6"))
