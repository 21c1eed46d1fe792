"""A screen in the tables: counted and said where who builds the loom looks.

Common practice, no source: a screen is crimped into the contact of one pin and needs a contact, and
in a sealed plug a seal, like a wire; at its other end it is cut back and insulated.
"""

from __future__ import annotations

import pytest

from wiregen.connect import connect
from wiregen.layout.tables import Table
from wiregen.publish.tables import all_tables
from wiregen.publish.tables.labels import wire_labels
from wiregen.read import load

LOOM = """format: 1
looms:
  new: {status: new}
  old: {status: existing}
contacts: {round: {wire: 0.5..1.5}}
plugs:
  X1: {loom: new, contacts: sockets, contact: round, sealed: true, face: [[1, 2, 3]]}
  X2: {loom: new, mates: X3, contacts: sockets, contact: round, sealed: true, face: [[1, 2, 3, 4]]}
  X3: {of: A1, mates: X2, contacts: pins, pins: {3: {carries: screen, without: noise on the gauge}}}
  X4: {loom: old, face: [[1, 2]]}
earths: {EP1: {}}
splices: {J1: {loom: new}}
devices: {A1: {kind: unit}, B1: {kind: sender, terminals: [1]}}
wires:
  W1: {from: X1:1, to: X2:1, size: 0.75, loom: new}
  W2: {from: X2:2, to: X1:2, size: 0.75, loom: new}
  W3: {from: X1:3, to: X2:4, size: 0.75, loom: new}
  W4: {from: X4:1, to: B1:1, loom: old}
groups:
  SC1: {screened: [W1, W2], twisted: [W1, W2], screen: "X2:3"}
  SC2: {screened: [W3], screen: EP1}
  SC3: {screened: [W4], screen: "X4:2"}
"""


def made(folder, text: str) -> dict[str, Table]:
    path = folder / "loom.yaml"
    path.write_text(text, "utf-8")
    design = load(path).design
    return {table.name: table for table in all_tables(design, connect(design))}


@pytest.fixture
def tables(tmp_path) -> dict[str, Table]:
    return made(tmp_path, LOOM)


def cells(table: Table, first: str, key: str = "") -> dict[str, str]:
    """Return the row whose cell under `key`, else its first cell, is `first`."""
    titles = [column.title for column in table.columns]
    place = titles.index(key) if key else 0
    (row,) = [row for row in table.rows if row[place] == first]
    return dict(zip(titles, row, strict=True))


def test_wire_list_and_cut_list_say_where_the_screen_begins_and_ends(tables):
    said = "twisted SC1, screened SC1, screen to X2:3, cut back and insulated at X1:1"
    assert cells(tables["wires"], "W1")["Groups"] == said
    assert cells(tables["cut"], "W1", "Wire")["Groups"] == said
    assert cells(tables["wires"], "W2")["Groups"].endswith("cut back and insulated at X1:2")
    stud = cells(tables["wires"], "W3")["Groups"]
    assert stud == "screened SC2, screen to EP1, cut back and insulated at the other end"


def test_the_contact_of_a_screen_is_bought(tables):
    """X2 has three wires and a screen: four contacts, four seals, no open cavity."""
    row = cells(tables["contacts"], "X2")
    assert (row["Contacts"], row["Wire seals"], row["Cavity plugs"]) == ("4", "4", "0")
    assert cells(tables["plugs"], "X2")["Wired"] == "4"
    parts = {(row[0], row[1]): row[2] for row in tables["parts"].rows}
    assert parts["contact", "socket round"] == "7"
    assert parts["ring terminal", "for a screen"] == "1"
    assert ("cavity plug", "for X2, 4 cavities with sockets") not in parts


def test_earths_and_splices_list_screens(tables, tmp_path):
    assert cells(tables["earths"], "EP1")["Wires (from)"] == "SC2 (screen of W3)"
    again = made(tmp_path, LOOM.replace("screen: EP1", "screen: J1"))
    row = cells(again["splices"], "J1")
    assert (row["Wire"], row["Goes to"]) == ("SC2", "screen of W3")
    assert again["earths"].rows[0][4] == ""


def test_the_pin_of_a_screen_is_known_and_wired(tables):
    assert cells(tables["pins"], "X4:2")["Carries"] == "screen of W4"
    assert cells(tables["lost"], "X3:3")["Wired by"] == "SC1"


def test_the_screen_of_a_new_wire_has_a_label_at_its_pin(tables):
    (label,) = [one for one in wire_labels(tables["labels"]) if one.wire == "SC1"]
    assert label.ends == "X2:3 > screen of W1 and W2"
    assert not [row for row in tables["labels"].rows if row[0] == "SC3"]
