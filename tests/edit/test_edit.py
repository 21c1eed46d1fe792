"""Changes of a design file: only what was named changes, remarks and line ends stay."""

import os
import re
import stat

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from wiregen.edit import AppendItem, EditError, RemoveKey, Rename, SetKey, edit_file, edit_text
from wiregen.problems import Unreadable

DESIGN = """\
# own remark
format: 1
plugs:
  X1:
    title: Wiper plug   # on the bulkhead
    face: [[1, 2],
           [3, 4]]      # seen from the front
    pins:
      1: {carries: slow, colour: BU/WH}   # traced
      # pin 2 is odd
      2: {carries: park,   # spaces kept
          colour: VT}
      3: empty
wires:
  W1: {from: X1:1, to: J1, colour: BU/WH}
  W2:   {from: J1, to: X1:2}   # short
splices: {J1: {title: joint}}
accepted:
  - {rule: COL104, object: X1:1, why: known}   # last
"""


def changed(*edits, text=DESIGN):
    return edit_text(text, edits)


def lines_changed(new, old=DESIGN):
    """Lines that are in one text only, as (gone, come)."""
    before, after = old.splitlines(), new.splitlines()
    return [x for x in before if x not in after], [x for x in after if x not in before]


@pytest.mark.parametrize(
    ("edit", "gone", "come"),
    [
        (
            SetKey(("wires", "W2"), "colour", "GN"),
            ["  W2:   {from: J1, to: X1:2}   # short"],
            ["  W2:   {from: J1, to: X1:2, colour: GN}   # short"],
        ),
        (
            SetKey(("wires", "W1"), "colour", "GN/YE"),
            ["  W1: {from: X1:1, to: J1, colour: BU/WH}"],
            ["  W1: {from: X1:1, to: J1, colour: GN/YE}"],
        ),
        (SetKey(("plugs", "X1"), "sealed", True), [], ["    sealed: true"]),
        (
            SetKey(("plugs", "X1", "pins"), "3", {"carries": "fast", "size": 0.75}),
            ["      3: empty"],
            ["      3: {carries: fast, size: 0.75}"],
        ),
        (
            SetKey(("plugs", "X1", "pins", "2"), "carries", "# not a remark"),
            ["      2: {carries: park,   # spaces kept"],
            ['      2: {carries: "# not a remark",   # spaces kept'],
        ),
        (
            SetKey(("wires",), "W3", {"from": "J1", "to": "X1:3"}),
            [],
            ["  W3: {from: J1, to: X1:3}"],
        ),
        (
            SetKey(("splices",), "J2", {}),
            ["splices: {J1: {title: joint}}"],
            ["splices: {J1: {title: joint}, J2: {}}"],
        ),
        (SetKey(("fuses",), "F1", {"rating": 10}), [], ["fuses:", "  F1: {rating: 10}"]),
        (
            AppendItem(("accepted",), {"rule": "COL102", "object": "X1", "why": "kept"}),
            [],
            ["  - {rule: COL102, object: X1, why: kept}"],
        ),
        (RemoveKey(("wires",), "W2"), ["  W2:   {from: J1, to: X1:2}   # short"], []),
        (RemoveKey(("plugs", "X1", "pins"), "3"), ["      3: empty"], []),
        (
            RemoveKey(("plugs", "X1", "pins", "2"), "carries"),
            ["      2: {carries: park,   # spaces kept"],
            ["      2: {   # spaces kept"],
        ),
        (
            RemoveKey(("wires", "W1"), "colour"),
            ["  W1: {from: X1:1, to: J1, colour: BU/WH}"],
            ["  W1: {from: X1:1, to: J1}"],
        ),
        (RemoveKey((), "splices"), ["splices: {J1: {title: joint}}"], []),
        (
            RemoveKey(("splices",), "J1"),
            ["splices: {J1: {title: joint}}"],
            ["splices: {}"],
        ),
    ],
)
def test_only_the_named_line_changes(edit, gone, come):
    assert lines_changed(changed(edit)) == (gone, come)


def test_last_of_a_block_leaves_the_remarks():
    text = "format: 1\nwires:  # all\n  # first\n  W1: {from: J1, to: J2}\n"
    new = edit_text(text, [RemoveKey(("wires",), "W1")])
    assert new == "format: 1\nwires: {}  # all\n  # first\n"


@pytest.mark.parametrize("start", ["wires:  # all\n", "wires: {}  # all\n", "wires: ~  # all\n"])
def test_first_of_an_empty_section_gets_a_line(start):
    new = edit_text(f"format: 1\n{start}", [SetKey(("wires",), "W1", {"from": "J1"})])
    assert new == "format: 1\nwires:  # all\n  W1: {from: J1}\n"


def test_many_at_once_are_made_together():
    edits = [SetKey(("wires", f"W{n}"), "length", 100 * n) for n in (1, 2)]
    new = changed(*edits, SetKey(("fuses",), "F1", {}), SetKey(("fuses",), "F2", {}))
    assert new.count("length") == 2
    assert new.endswith("fuses:\n  F1: {}\n  F2: {}\n")


def test_windows_line_ends_stay():
    text = DESIGN.replace("\n", "\r\n")
    new = changed(SetKey(("plugs", "X1"), "sealed", True), SetKey(("wires",), "W9", {}), text=text)
    assert new.count("\r\n") == new.count("\n") == text.count("\n") + 2
    assert "    sealed: true\r\n" in new


def test_file_without_a_last_line_end():
    assert edit_text("format: 1\nwires:\n  W1: {}", [SetKey(("wires",), "W2", {})]) == (
        "format: 1\nwires:\n  W1: {}\n  W2: {}\n"
    )


def test_rename_follows_every_reference_and_no_words():
    text = """\
format: 1
plugs:
  X1: {title: X1 of the cab, mates: X2, face: {like: X2}, pins: {1: {carries: X1, note: X1:1}}}
  X2: {mates: "X1", housing: X1}   # X1 too
wires: {W1: {from: X1:1, to: X10:1, was: X1:X1, why: X1}}
states: {run: {X1:1: on, S1: X1}}
groups: {G1: {twisted: [W1], screen: X1:2}}
accepted: [{rule: COL104, object: X1:1, why: X1}]
"""
    assert (
        edit_text(text, [Rename("X1", "X7")])
        == """\
format: 1
plugs:
  X7: {title: X1 of the cab, mates: X2, face: {like: X2}, pins: {1: {carries: X1, note: X1:1}}}
  X2: {mates: X7, housing: X1}   # X1 too
wires: {W1: {from: X7:1, to: X10:1, was: X7:X1, why: X1}}
states: {run: {X7:1: on, S1: X1}}
groups: {G1: {twisted: [W1], screen: X7:2}}
accepted: [{rule: COL104, object: X7:1, why: X1}]
"""
    )


@pytest.mark.parametrize(
    ("edits", "said"),
    [
        ([RemoveKey(("wires",), "W8")], "there is no 'W8' in 'wires'"),
        ([RemoveKey(("wires", "W8"), "to")], "there is no 'wires.W8' in the file"),
        ([SetKey(("wires", "W1", "from"), "to", "J1")], "'wires.W1.from' has no keys"),
        ([AppendItem(("wires",), "W9")], "'wires' is not a list"),
        ([Rename("W1", "W2")], "'W2' is in the file already"),
        ([Rename("W7", "W8")], "there is no 'W7' in the file"),
        (
            [SetKey(("wires", "W1"), "to", "J1"), RemoveKey(("wires", "W1"), "to")],
            "two changes are about 'to'",
        ),
        (
            [RemoveKey(("wires",), "W1"), SetKey(("wires", "W1"), "to", "J2")],
            "two changes are about the same place of the file",
        ),
    ],
)
def test_what_cannot_be_done_is_said(edits, said):
    with pytest.raises(EditError, match=re.escape(said)):
        changed(*edits)


def test_a_file_with_aliases_is_refused():
    with pytest.raises(Unreadable):
        edit_text("format: 1\nwires: &w {}\nfuses: *w\n", [SetKey(("wires",), "W1", {})])


def test_file_keeps_mark_rights_and_link(tmp_path):
    real = tmp_path / "real.yaml"
    real.write_bytes(b"\xef\xbb\xbfformat: 1\r\nwires:\r\n  W1: {from: J1}  # \xc3\xa9\r\n")
    real.chmod(0o640)
    link = tmp_path / "link.yaml"
    link.symlink_to(real)
    edit_file(link, [SetKey(("wires", "W1"), "to", "J2")])
    assert link.is_symlink()
    assert real.read_bytes() == (
        b"\xef\xbb\xbfformat: 1\r\nwires:\r\n  W1: {from: J1, to: J2}  # \xc3\xa9\r\n"
    )
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert sorted(os.listdir(tmp_path)) == ["link.yaml", "real.yaml"]


def test_refused_edit_leaves_the_file(tmp_path):
    path = tmp_path / "a.yaml"
    path.write_text(DESIGN, encoding="utf-8")
    with pytest.raises(EditError):
        edit_file(path, [RemoveKey(("wires",), "W8")])
    assert path.read_text(encoding="utf-8") == DESIGN
    assert os.listdir(tmp_path) == ["a.yaml"]


# Random files and random edits. The files are made of pieces, so that the place of every object
# in the text is known without reading it back.

WORDS = st.sampled_from(
    ["BU/WH", "X1:3", "0.75", "a b", "it's", '"q"', "# x", "a: b", "- c", "true", "", "{", "é µ"]
)
KEYS = ["from", "to", "colour", "size"]


@st.composite
def files(draw):
    """A file as (lines of each object, remarks)."""
    objects = []
    for number in range(1, draw(st.integers(1, 5)) + 1):
        pairs = {key: draw(WORDS) for key in KEYS if draw(st.booleans())}
        remark = draw(st.sampled_from(["", f"   # remark {number}"]))
        before = draw(st.sampled_from(["", f"  # above {number}\n", "\n"]))
        style = draw(st.sampled_from(["flow", "block", "split"]))
        quoted = {key: "'" + value.replace("'", "''") + "'" for key, value in pairs.items()}
        if style == "block" and pairs:
            body = "".join(
                f"    {key}: {value}{remark if i == 0 else ''}\n"
                for i, (key, value) in enumerate(quoted.items())
            )
            text = f"{before}  W{number}:\n{body}"
        else:
            joint = f",{remark}\n      " if style == "split" else ", "
            body = joint.join(f"{key}: {value}" for key, value in quoted.items())
            text = f"{before}  W{number}: {{{body}}}{remark}\n"
        objects.append((f"W{number}", pairs, text))
    return objects


@st.composite
def cases(draw):
    objects = draw(files())
    edits = []
    for name, pairs, _ in objects:
        for key in KEYS:
            what = draw(st.sampled_from(["keep", "keep", "set", "remove"]))
            if what == "set":
                edits.append((name, key, draw(WORDS)))
            elif what == "remove" and key in pairs:
                edits.append((name, key, None))
    return objects, edits


@settings(max_examples=300, deadline=None)
@given(cases())
def test_random_edits_change_only_what_they_name(case):
    objects, wanted = case
    text = "format: 1  # first\nwires:\n" + "".join(text for _, _, text in objects) + "# end\n"
    edits = [
        RemoveKey(("wires", name), key) if value is None else SetKey(("wires", name), key, value)
        for name, key, value in wanted
    ]
    new = edit_text(text, edits)
    expected = {name: dict(pairs) for name, pairs, _ in objects}
    for name, key, value in wanted:
        if value is None:
            del expected[name][key]
        else:
            expected[name][key] = value
    found = yaml.load(new, yaml.BaseLoader)["wires"]
    assert {name: pairs or {} for name, pairs in found.items()} == expected
    for name, _, piece in objects:
        if all(name != touched for touched, _, _ in wanted):
            assert piece in new
    if all(value is not None for _, _, value in wanted):
        assert remarks(new) == remarks(text)
    assert {"# first", "# end"} <= set(remarks(new))
    assert {r for r in remarks(text) if "above" in r} <= set(remarks(new))


def remarks(text):
    return re.findall(r"# (?:first|end|remark \d|above \d)", text)


@settings(max_examples=150, deadline=None)
@given(files(), st.data())
def test_random_objects_come_and_go(objects, data):
    text = "format: 1\nwires:\n" + "".join(text for _, _, text in objects) + "# end\n"
    gone = data.draw(st.sets(st.sampled_from([name for name, _, _ in objects])))
    new = edit_text(text, [RemoveKey(("wires",), name) for name in sorted(gone)])
    found = yaml.load(new, yaml.BaseLoader)["wires"]
    assert set(found or {}) == {name for name, _, _ in objects} - gone
    for name, _, piece in objects:
        assert name in gone or piece in new
    back = edit_text(new, [SetKey(("wires",), "W99", {"from": "J1"})])
    assert yaml.load(back, yaml.BaseLoader)["wires"]["W99"] == {"from": "J1"}
    assert "# end" in back
