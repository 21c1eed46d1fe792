"""Random edits of random designs and of the demo designs: what is listed is what was done."""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from tests.layout.vehicles import vehicle
from tests.strategies import designs
from wiregen.history.changes import apply, difference
from wiregen.model import Design
from wiregen.problems import Unreadable
from wiregen.read import load_text
from wiregen.read.yaml_tree import read_tree

Plain = dict[str, Any]
FOLDER = Path(__file__).resolve().parents[2] / "designs"
SECTIONS = (
    "wires",
    "splices",
    "fuses",
    "plugs",
    "devices",
    "earths",
    "looms",
    "circuits",
    "states",
    "groups",
)


def demo(name: str) -> Plain:
    return plain_tree((FOLDER / f"{name}.yaml").read_text("utf-8"))


def plain_tree(text: str) -> Plain:
    found: Plain = json.loads(json.dumps(read_tree(text, "design.yaml")))
    found.pop("include", None)
    return found


DEMOS = [demo(name) for name in ("tractor", "trailer-adapter", "faults", "vocabulary")]
DEMOS.append(plain_tree(vehicle(60)))


def read(design: Plain) -> Design:
    return load_text(json.dumps(design, ensure_ascii=False)).design


def some_section(design: Plain, dice: random.Random) -> Plain:
    found: Plain = design[dice.choice([name for name in SECTIONS if design.get(name)])]
    return found


def take_out(design: Plain, dice: random.Random) -> None:
    section = some_section(design, dice)
    if len(section) > 1:
        section.pop(dice.choice(list(section)))


def copy_wire(design: Plain, dice: random.Random) -> None:
    wires = design["wires"]
    wires[f"W{dice.randint(500, 999)}"] = copy.deepcopy(wires[dice.choice(list(wires))])


def swap_ids(design: Plain, dice: random.Random) -> None:
    section = some_section(design, dice)
    one, other = dice.choice(list(section)), dice.choice(list(section))
    section[one], section[other] = section[other], section[one]


def swap_ends(design: Plain, dice: random.Random) -> None:
    wires = design["wires"]
    one, other = wires[dice.choice(list(wires))], wires[dice.choice(list(wires))]
    key, key_2 = dice.choice(("from", "to")), dice.choice(("from", "to"))
    if key in one and key_2 in other:
        one[key], other[key_2] = other[key_2], one[key]


def recolour(design: Plain, dice: random.Random) -> None:
    wires = design["wires"]
    wires[dice.choice(list(wires))]["colour"] = dice.choice(("BU", "GN/YE", "RD/WH"))


def swap_pins(design: Plain, dice: random.Random) -> None:
    pins = design["plugs"][dice.choice(list(design["plugs"]))].get("pins") or {}
    if len(pins) > 1:
        one, other = dice.sample(list(pins), 2)
        pins[one], pins[other] = pins[other], pins[one]
        if dice.random() < 0.3:
            pins.pop(one)


def retitle(design: Plain, dice: random.Random) -> None:
    section = some_section(design, dice)
    found = section[dice.choice(list(section))]
    if isinstance(found, dict) and "title" in found:
        found["title"] = f"{found['title']} {dice.randint(1, 9)}"


def rename_alone(design: Plain, dice: random.Random) -> None:
    """Give an object another id; what points at it still says the old one."""
    section = some_section(design, dice)
    name = dice.choice(list(section))
    section[f"{name}q"] = section.pop(name)


EDITS: tuple[Callable[[Plain, random.Random], None], ...] = (
    take_out,
    copy_wire,
    swap_ids,
    swap_ends,
    recolour,
    retitle,
    swap_pins,
    rename_alone,
)


def edited(design: Plain, dice: random.Random) -> Plain:
    found = copy.deepcopy(design)
    for _ in range(dice.randint(1, 6)):
        dice.choice(EDITS)(found, dice)
    return found


def shuffled(design: Plain, dice: random.Random) -> Plain:
    """Return a design in another order: sections, objects, keys of wires, ends of wires."""

    def turned(mapping: Plain) -> Plain:
        return dict(dice.sample(list(mapping.items()), len(mapping)))

    found = {key: turned(design[key]) if key in SECTIONS else design[key] for key in design}
    if "states" in design:
        found["states"] = design["states"]  # their order is that of the test sheet
    found["wires"] = {name: turned(wire) for name, wire in found["wires"].items()}
    for wire in found["wires"].values():
        if "from" in wire and "to" in wire and dice.random() < 0.5:
            wire["from"], wire["to"] = wire["to"], wire["from"]
    return turned(found)


@settings(
    max_examples=20,
    deadline=None,
    derandomize=True,
    phases=(Phase.generate,),
    suppress_health_check=list(HealthCheck),
)
@given(
    designs(bad_ends=True) | st.sampled_from(DEMOS),
    st.randoms(use_true_random=False),
)
def test_whatever_is_edited_the_changes_make_it_again(one, dice):
    assume(one.get("wires") and one.get("plugs"))
    other = edited(one, dice)
    try:
        old, new, again = read(one), read(other), read(shuffled(other, dice))
    except Unreadable:
        assume(False)
    for before, after in ((old, new), (new, old)):
        found = difference(before, after)
        assert apply(found.old, found.changes) == found.new
    assert difference(new, new).changes == ()
    assert difference(new, again).changes == ()
