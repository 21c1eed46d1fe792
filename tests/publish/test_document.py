"""The design as Python sees it."""

import subprocess
import sys
from pathlib import Path

import pytest

import wiregen
from wiregen.problems import Unreadable
from wiregen.publish import CannotWrite

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def trailer():
    return wiregen.load(ROOT / "designs" / "trailer-adapter.yaml")


def test_findings_and_nets(trailer):
    assert not [finding for finding in trailer.findings if finding.severity == "error"]
    (net,) = [net for net in trailer.nets if "X3:3" in net.nodes]
    assert set(net.nodes) == {"X1:3", "X2:3", "X3:3", "X4:3"}
    assert net.wires == ("W3",)


def test_drawings_show_themselves_in_a_notebook(trailer):
    (face,) = [drawing for drawing in trailer.drawings if drawing.name == "face-X2"]
    assert face.svg.startswith("<svg ")
    assert face._repr_svg_() == face.svg
    assert repr(face).startswith("Drawing('face-X2', ")


def test_only_one_plug(trailer):
    names = [drawing.name for drawing in trailer.draw(plug="X1")]
    assert "face-X1" in names
    assert "face-X4" not in names


@pytest.mark.parametrize(
    ("name", "start"),
    [("a.svg", b"<svg "), ("a.png", b"\x89PNG"), ("a.PDF", b"%PDF-"), ("plain", b"<svg ")],
)
def test_save(trailer, tmp_path, name, start):
    path = trailer.drawings[0].save(tmp_path / "new" / name)
    assert path == tmp_path / "new" / name
    assert path.read_bytes().startswith(start)


def test_save_where_nothing_can_be_saved(trailer, tmp_path):
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(CannotWrite, match="it is a file, not a folder"):
        trailer.drawings[0].save(tmp_path / "file" / "a.svg")


def test_a_file_that_is_no_design(tmp_path):
    with pytest.raises(Unreadable, match="there is no such file"):
        wiregen.load(tmp_path / "none.yaml")


def test_findings_on_the_sheets_do_not_follow_the_order_of_the_file(tmp_path):
    head = "format: 1\nwires: {W1: {from: X1:1, to: X2:1}}\nplugs:\n"
    plugs = [f"  X{n}: {{title: Plug {n}, face: [[1, 2]], pins: {{1: {{}}}}}}\n" for n in (1, 2)]
    both = []
    for order in (plugs, plugs[::-1]):
        (tmp_path / "d.yaml").write_text(head + "".join(order), encoding="utf-8")
        both.append([drawing.svg for drawing in wiregen.load(tmp_path / "d.yaml").drawings])
    assert both[0] == both[1]


def test_importing_is_light():
    code = (
        "import sys, wiregen; from wiregen.read import load; from wiregen.check import check\n"
        "check(load('designs/trailer-adapter.yaml'))\n"
        "heavy = ('pypdfium2', 'schemdraw', 'jsonschema', 'graphviz')\n"
        "print([m for m in heavy if m in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout == "[]\n"
