"""A design whose ids were exchanged among each other has new names and no other change."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest

from tests.layout.vehicles import vehicle
from wiregen.history.changes import Renamed, apply, difference
from wiregen.history.review import review
from wiregen.model import Design
from wiregen.publish import Document
from wiregen.read import load_text
from wiregen.read.yaml_tree import read_tree

Tree = dict[str, Any]
FOLDER = Path(__file__).resolve().parents[2] / "designs"
OBJECTS = ("looms", "contacts", "plugs", "splices", "fuses", "boxes", "earths", "devices", "wires")
OBJECTS += ("groups", "buses", "signals")
NAMES = {"circuits": ("circuit",), "states": ("on_when", "closed_in"), "variants": ("only",)}
"""Sections with names of their own, and the keys whose values are such names."""
STATE_KEYS = ("drop", "needs")
"""Keys whose value is a mapping by state."""
WORDS = {"title", "carries", "kind", "note", "why", "where", "source", "status", "role", "what"}
WORDS |= {"label", "zone", "housing", "style", "key", "latch"}
"""Keys whose values are free words, though one may look like an id."""
SHUFFLES = ("any", "next", "few", "fresh", "across")
DESIGNS = {
    **{
        f"vehicle {n} {seed}": vehicle(n, seed) for n, seed in ((20, 2), (60, 1), (60, 3), (150, 2))
    },
    **{name: (FOLDER / f"{name}.yaml").read_text("utf-8") for name in ("tractor", "vocabulary")},
}


def tree(text: str) -> Tree:
    found: Tree = json.loads(json.dumps(read_tree(text, "design.yaml")))
    return {key: value for key, value in found.items() if value and key != "include"}


def read(design: Tree) -> Design:
    return load_text(json.dumps(design)).design


def exchanged(ids: list[str], how: str, dice: random.Random) -> dict[str, str]:
    """Return id -> the id it gets."""
    others = list(ids)
    if how == "next":
        others = [*ids[1:], *ids[:1]]
    elif how == "few":
        few = dice.sample(range(len(ids)), min(len(ids), 3))
        for place, other in zip(few, [*few[1:], *few[:1]], strict=True):
            others[place] = ids[other]
    else:
        dice.shuffle(others)
    return {
        one: f"{other}n" if how == "fresh" else other
        for one, other in zip(ids, others, strict=True)
    }


def renamed(design: Tree, how: str, dice: random.Random) -> tuple[Tree, dict[str, dict[str, str]]]:
    """Return a design with other ids and names in every place, and what each is called now."""
    sections = {name: list(design[name]) for name in OBJECTS if name in design}
    if how == "across":
        sections = {"all": [name for names in sections.values() for name in names]}
    new: dict[str, dict[str, str]] = {"": {}}
    for ids in sections.values():
        new[""] |= exchanged(ids, how, dice)
    for section in NAMES:
        names = list(design.get(section, {}))
        if section == "circuits":
            pins = (
                pin
                for plug in design.get("plugs", {}).values()
                for pin in plug.get("pins", {}).values()
            )
            names += [p["circuit"] for p in pins if isinstance(p, dict) and "circuit" in p]
        new[section] = exchanged(list(dict.fromkeys(names)), how, dice)

    def at(text: str) -> str:
        owner, colon, point = text.partition(":")
        return f"{new[''].get(owner, owner)}{colon}{point}"

    def turned(node: Any, key: str) -> Any:
        if key in WORDS:
            return node
        if isinstance(node, list):
            return [turned(item, key) for item in node]
        space = next((section for section, keys in NAMES.items() if key in keys), "")
        if isinstance(node, dict):
            states = key in STATE_KEYS
            return {
                new["states"].get(name, name) if states else at(name): turned(value, name)
                for name, value in node.items()
            }
        if isinstance(node, str):
            return new[space].get(node, node) if space else at(node)
        return node

    found: Tree = {}
    for section, value in design.items():
        if section in NAMES:
            found[section] = {new[section][n]: turned(v, "") for n, v in value.items()}
        elif section in ("drawing", "colour_keys"):
            found[section] = value
        else:
            found[section] = turned(value, "")
    return found, new


@pytest.mark.parametrize("how", SHUFFLES)
@pytest.mark.parametrize("name", DESIGNS)
def test_any_exchange_of_ids_is_only_renames(name, how):
    design = tree(DESIGNS[name])
    other, new = renamed(design, how, random.Random(f"{name} {how}"))
    assert other != design
    found = difference(read(design), read(other))
    assert [change for change in found.changes if not isinstance(change, Renamed)] == []
    assert apply(found.old, found.changes) == found.new
    if how == "fresh":
        assert {(c.id, c.new_id) for c in found.changes if c.section == "circuits"} == set(
            new["circuits"].items()
        )
    assert len(found.changes) <= sum(map(len, new.values()))


@pytest.mark.parametrize("name", ["vehicle 60 1", "tractor"])
def test_other_ids_hide_no_edit(name):
    design = tree(DESIGNS[name])
    dice = random.Random(name)
    other, new = renamed(design, "any", dice)
    wire = dice.choice([name for name, said in design["wires"].items() if "colour" in said])
    other["wires"][new[""][wire]]["colour"] = "VT/TQ"
    found = difference(read(design), read(other))
    rest = [change for change in found.changes if not isinstance(change, Renamed)]
    assert [(c.id, c.key, c.after) for c in rest] == [(new[""][wire], "colour", "VT/TQ")]
    assert apply(found.old, found.changes) == found.new


@pytest.mark.parametrize("how", ["few", "any"])
def test_new_names_have_no_consequences(how):
    design = tree(DESIGNS["tractor"])
    other, _ = renamed(design, how, random.Random(how))
    found = review(
        *(Document("design.yaml", load_text(json.dumps(one))) for one in (design, other))
    )
    assert found.difference.changes
    assert (*found.appeared, *found.altered, *found.gone) == ()
    assert (*found.joined, *found.split, *found.refed, *found.steps, *found.figures.rows) == ()


def test_what_reads_like_an_edit_of_two_wires_is_renames_where_nothing_tells_them_apart():
    lamps = """format: 1
devices:
  P1: {kind: lamp, terminals: [1, 2]}
  P2: {kind: lamp, terminals: [1, 2]}
splices: {J1: {}}
earths: {EP1: {}}
wires:
  W1: {from: J1, to: "P1:1", colour: RD}
  W2: {from: J1, to: "P2:1", colour: WH}
  W3: {from: EP1, to: "P1:2", colour: BN}
  W4: {from: EP1, to: "P2:2", colour: BN}
"""
    other = lamps.replace('P1:1", colour: RD', 'P2:1", colour: RD')
    other = other.replace('P2:1", colour: WH', 'P1:1", colour: WH')
    found = difference(load_text(lamps).design, load_text(other).design)
    assert {(c.id, c.new_id) for c in found.changes} == {
        ("P1", "P2"), ("P2", "P1"), ("W3", "W4"), ("W4", "W3"),
    }  # fmt: skip


def test_of_two_that_nothing_tells_apart_each_keeps_its_id():
    twins = """format: 1
splices: {J1: {}, J2: {}}
wires:
  W1: {from: J1, to: J2, colour: RD}
  W2: {from: J1, to: J2, colour: RD}
"""
    turned = twins.replace("W1", "W3").replace("W2", "W1").replace("W3", "W2")
    assert difference(load_text(twins).design, load_text(turned).design).changes == ()
