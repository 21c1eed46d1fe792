"""The drawings of the demo designs held against the text of the files, which is read here again.

The files are read with the plain YAML loader and the drawings as XML, so that nothing of wiregen
decides what must be on a sheet.
"""

import re
from collections import defaultdict
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
import yaml

from wiregen.cli import main

ROOT = Path(__file__).resolve().parents[2]
SOUND = ("tractor", "trailer-adapter", "mixed-cavities", "wiper-pinout")
# Cavities: ISO 11446 and ISO 1724 contact allocations as published by a plug maker (13 and 7 pins).
STANDARD = {
    "iso-11446": [str(n) for n in range(1, 14)],
    "iso-1724": [str(n) for n in range(1, 8)],
}
Point = tuple[float, float]


@dataclass(frozen=True)
class Drawn:
    """A design as text and as drawn."""

    design: dict
    sheets: dict[str, ET.Element]


@pytest.fixture(scope="module", params=SOUND)
def drawn(request, tmp_path_factory) -> Drawn:
    return draw(request.param, tmp_path_factory.getbasetemp())


@cache
def draw(name: str, folder: Path) -> Drawn:
    source = ROOT / "designs" / f"{name}.yaml"
    with pytest.raises(SystemExit) as left:
        main(["draw", str(source), "-o", str(folder / name)])
    assert left.value.code == 0
    design = yaml.load(source.read_text(encoding="utf-8"), yaml.BaseLoader)
    sheets = {
        path.stem.removeprefix(f"{name}-"): ET.parse(path).getroot()
        for path in sorted((folder / name).glob("*.svg"))
    }
    return Drawn(design, sheets)


def groups(root: ET.Element, cls: str) -> list[ET.Element]:
    return [
        g for g in root.iter("{http://www.w3.org/2000/svg}g") if cls in g.get("class", "").split()
    ]


def words(root: ET.Element) -> str:
    """All text of a sheet, run together with single spaces."""
    texts = ("".join(text.itertext()) for text in root.iter("{http://www.w3.org/2000/svg}text"))
    return " ".join(" ".join(texts).split())


def place(element: ET.Element) -> Point:
    return float(element.get("data-x")), float(element.get("data-y"))


# wires


def run_points(wire: ET.Element) -> list[list[Point]]:
    """The points of every run of a wire; only level and upright strokes are allowed."""
    runs = []
    for path in wire.iter("{http://www.w3.org/2000/svg}path"):
        if path.get("class") != "run":
            continue
        x = y = 0.0
        points = []
        for letter, numbers in re.findall(r"([A-Z])([^A-Z]*)", path.get("d")):
            values = [float(number) for number in numbers.split()]
            assert letter in "MHV", path.get("d")
            if letter == "M":
                x, y = values
            elif letter == "H":
                (x,) = values
            else:
                (y,) = values
            points.append((x, y))
        runs.append(points)
    return runs


def on_run(point: Point, points: list[Point]) -> bool:
    x, y = point
    return any(
        min(ax, bx) - 0.02 <= x <= max(ax, bx) + 0.02
        and min(ay, by) - 0.02 <= y <= max(ay, by) + 0.02
        for (ax, ay), (bx, by) in pairwise(points)
    )


def pieces(runs: list[list[Point]]) -> list[list[list[Point]]]:
    """Runs that touch, put together."""
    found: list[list[list[Point]]] = []
    for run in runs:
        touching = [
            piece
            for piece in found
            if any(
                on_run(run[0], other)
                or on_run(run[-1], other)
                or on_run(other[0], run)
                or on_run(other[-1], run)
                for other in piece
            )
        ]
        found = [piece for piece in found if piece not in touching]
        found.append([run, *(other for piece in touching for other in piece)])
    return found


def halves(design: dict) -> dict[str, str]:
    """Which plug pushes into which, said on either half."""
    mates = {name: plug["mates"] for name, plug in design["plugs"].items() if "mates" in plug}
    return {**{mate: name for name, mate in mates.items()}, **mates}


def pin_names(design: dict, end: str) -> set[str]:
    """The pins a wire written to this end may be drawn to: its own, or that of the other half."""
    plug, _, cavity = end.partition(":")
    names = {end}
    if plug in design["plugs"] and plug in halves(design):
        names.add(f"{halves(design)[plug]}:{cavity}")
    return names


def test_every_wire_is_drawn_with_its_ends_colour_and_size(drawn):
    wires = drawn.design.get("wires", {})
    seen = defaultdict(list)
    for sheet in drawn.sheets.values():
        for group in groups(sheet, "wire"):
            seen[group.get("data-wire")].append(group)
    assert sorted(seen) == sorted(wires)
    for name, wire in wires.items():
        for group in seen[name]:
            assert group.get("data-from") == wire.get("from", "")
            assert group.get("data-to") == wire.get("to", "")
            assert group.get("data-colour") == wire["colour"]
            assert group.get("data-size") == wire["size"]


def test_every_wire_label_names_wire_size_and_colour(drawn):
    for sheet in drawn.sheets.values():
        for group in groups(sheet, "wire"):
            labels = [
                "".join(text.itertext())
                for text in group.iter("{http://www.w3.org/2000/svg}text")
                if text.get("class") == "wire-label"
            ]
            assert labels, group.get("data-wire")
            for key in ("data-wire", "data-size", "data-colour"):
                assert any(group.get(key) in label for label in labels), (labels, group.get(key))


def test_every_wire_runs_from_pin_to_pin_or_to_a_reference(drawn):
    reached = defaultdict(set)
    for sheet in drawn.sheets.values():
        pins = defaultdict(list)
        for pin in groups(sheet, "pin"):
            pins[pin.get("data-pin")].append(place(pin))
        references = defaultdict(list)
        for reference in groups(sheet, "reference"):
            references[reference.get("data-wire")].append(reference)
        for group in groups(sheet, "wire"):
            name = group.get("data-wire")
            ends = [end for end in (group.get("data-from"), group.get("data-to")) if end]
            found = pieces(run_points(group))
            assert len(found) <= 1 + len(references[name]), name
            for piece in found:
                here = {
                    end
                    for end in ends
                    for pin in pin_names(drawn.design, end)
                    for point in pins[pin]
                    if any(on_run(point, run) for run in piece)
                }
                missing = len(ends) - len(here)
                assert missing <= len(references[name]), (name, here)
                reached[name] |= here
    for name, wire in drawn.design.get("wires", {}).items():
        assert reached[name] == {wire[key] for key in ("from", "to") if key in wire}, name


# faces


def face_of(design: dict, plug: str) -> dict | None:
    """The face written on a plug, brought into its long form."""
    face = design["plugs"][plug].get("face")
    return {"rows": face} if isinstance(face, list) else face


def cavities_of(design: dict, plug: str) -> list[str]:
    """The cavities of a plug in the order of the file, its own or its mate's."""
    face = face_of(design, plug) or face_of(design, halves(design).get(plug, plug))
    if face is None:
        return []
    if "like" in face:
        return STANDARD[face["like"]]
    if "rows" in face:
        return [name for row in face["rows"] for name in row if name != "~"]
    if "ring" in face:
        return face["ring"]
    return list(face["at"])


def faces(sheets: dict[str, ET.Element], plug: str) -> dict[str, dict[str, Point]]:
    """Side -> cavity -> centre, as drawn on the plug's own sheet."""
    return {
        face.get("data-side"): {
            cavity.get("data-pin").split(":", 1)[1]: place(cavity)
            for cavity in groups(face, "cavity")
        }
        for sheet in sheets.values()
        for face in groups(sheet, "face")
        if face.get("data-plug") == plug and "mate" not in face.get("class").split()
    }


def test_every_cavity_is_on_both_sides_of_its_face(drawn):
    for plug in drawn.design["plugs"]:
        sides = faces(drawn.sheets, plug)
        assert sorted(sides) == ["mating", "wire"], plug
        for side, cavities in sides.items():
            assert sorted(cavities) == sorted(cavities_of(drawn.design, plug)), (plug, side)


def test_the_wire_side_is_the_exact_mirror_of_the_mating_side(drawn):
    for plug in drawn.design["plugs"]:
        sides = faces(drawn.sheets, plug)
        mating, wire = sides["mating"], sides["wire"]
        first = next(iter(mating))
        for name in mating:
            across = mating[name][0] - mating[first][0], wire[name][0] - wire[first][0]
            down = mating[name][1] - mating[first][1], wire[name][1] - wire[first][1]
            assert across[0] == pytest.approx(-across[1], abs=0.03), (plug, name)
            assert down[0] == pytest.approx(down[1], abs=0.03), (plug, name)


def test_the_first_cavity_is_top_left_on_the_side_it_was_given_from(drawn):
    for plug in drawn.design["plugs"]:
        face = face_of(drawn.design, plug)
        if face is None or "rows" not in face:
            continue
        side = face.get("seen_from", "mating side").split()[0]
        cavities = faces(drawn.sheets, plug)[side]
        for row in face["rows"]:
            xs = [cavities[name][0] for name in row if name != "~"]
            assert xs == sorted(xs), (plug, row)
        ys = [cavities[row[0]][1] for row in face["rows"]]
        assert ys == sorted(ys), plug
        assert len(set(ys)) == len(ys), plug


def test_measured_positions_keep_their_place(drawn):
    for plug in drawn.design["plugs"]:
        face = face_of(drawn.design, plug)
        if face is None or "at" not in face:
            continue
        side = face.get("seen_from", "mating side").split()[0]
        cavities = faces(drawn.sheets, plug)[side]
        given = {name: (float(x), float(y)) for name, (x, y) in face["at"].items()}
        one, *rest = given
        far = max(rest, key=lambda name: abs(given[name][0] - given[one][0]))
        scale = (cavities[far][0] - cavities[one][0]) / (given[far][0] - given[one][0])
        assert scale > 0
        for name in rest:
            for axis in (0, 1):
                want = (given[name][axis] - given[one][axis]) * scale
                got = cavities[name][axis] - cavities[one][axis]
                assert got == pytest.approx(want, abs=0.05), (plug, name)


def test_a_half_without_a_face_mirrors_its_mate(drawn):
    for plug, mate in halves(drawn.design).items():
        if face_of(drawn.design, plug) is not None:
            continue
        own, other = faces(drawn.sheets, plug), faces(drawn.sheets, mate)
        first = next(iter(own["mating"]))
        for name, (x, y) in own["mating"].items():
            ox, oy = other["wire"][name]
            fx, fy = own["mating"][first]
            gx, gy = other["wire"][first]
            assert (x - fx) * (gx - ox) <= 0.001, (plug, name)
            assert (y - fy) * (oy - gy) >= -0.001, (plug, name)


def test_empty_and_blocked_cavities_say_so(drawn):
    for plug, record in drawn.design["plugs"].items():
        for cavity, pin in record.get("pins", {}).items():
            if pin not in ("empty", "blocked"):
                continue
            states = {
                group.get("data-state")
                for sheet in drawn.sheets.values()
                for face in groups(sheet, "face")
                if face.get("data-plug") == plug
                for group in groups(face, "cavity")
                if group.get("data-pin") == f"{plug}:{cavity}"
            }
            assert states == {pin}, (plug, cavity)


# words


def said(design: dict) -> list[str]:
    """The words of the design a reader must find again."""
    found = [design.get("drawing", {}).get("title", "")]
    for section in ("plugs", "devices", "fuses", "earths"):
        found += [record.get("title", "") for record in design.get(section, {}).values()]
    for plug in design["plugs"].values():
        pins = plug.get("pins", {}).values()
        found += [pin.get("carries", "") for pin in pins if isinstance(pin, dict)]
    return [text for text in found if text]


def test_every_word_is_on_a_sheet(drawn):
    whole = " ".join(words(sheet) for sheet in drawn.sheets.values()).casefold()
    missing = [text for text in said(drawn.design) if text.casefold() not in whole]
    assert missing == []


def test_no_sheet_holds_anything_that_runs_or_reaches_out(drawn):
    for sheet in drawn.sheets.values():
        for element in sheet.iter():
            assert element.tag.split("}")[1] not in ("script", "foreignObject", "image", "a", "use")
            assert not [key for key in element.attrib if key.startswith("on") or "href" in key]
