"""Screens over wires: where they end, and that they join nothing.

The facts are common practice, no source: the screen of a cable is joined to one pin at one end; at
the other end it is cut back and insulated, so that it carries no current.
"""

from __future__ import annotations

import pytest

from wiregen.connect import connect
from wiregen.connect.screens import find_screens
from wiregen.read import load

PLUGS = """format: 1
plugs:
  X1: {title: Sensor, face: [[1, 2, 3]]}
  X2: {title: Loom side, mates: X3, face: [[1, 2, 3, 4]]}
  X3: {title: Unit, of: A1, face: [[1, 2, 3, 4]]}
earths: {EP1: {}}
devices: {A1: {kind: unit}}
"""


@pytest.fixture
def made(tmp_path):
    def make(text: str):
        path = tmp_path / "design.yaml"
        path.write_text(PLUGS + text, "utf-8")
        design = load(path).design
        return design, connect(design)

    return make


WIRES = "wires: {W1: {from: 'X1:1', to: 'X2:1'}, W2: {from: 'X2:2', to: 'X1:2'}}\n"


def test_a_screen_is_joined_at_one_end_and_cut_back_at_the_other(made):
    (screen,) = find_screens(*made(WIRES + "groups: {SC1: {screened: [W1, W2], screen: 'X2:3'}}"))
    assert (screen.node, screen.far) == ("X2:3", ("X1:1", "X1:2"))
    assert screen.over == "W1 and W2"
    assert screen.cut_back == "cut back and insulated at X1:1 and X1:2"
    assert screen.at_wire("W2") == "screen to X2:3, cut back and insulated at X1:2"


def test_a_screen_written_against_the_pin_of_a_unit_ends_on_the_loom_half(made):
    (screen,) = find_screens(*made(WIRES + "groups: {SC1: {screened: [W2], screen: 'X3:3'}}"))
    assert (screen.node, screen.far) == ("X2:3", ("X1:2",))


def test_where_the_wires_do_not_tell_no_end_is_guessed(made):
    """A drain brought to a stud may leave the cable at either end."""
    (screen,) = find_screens(*made(WIRES + "groups: {SC1: {screened: [W1], screen: EP1}}"))
    assert (screen.node, screen.far) == ("EP1", ("",))
    assert screen.at_wire("W1") == "screen to EP1, cut back and insulated at the other end"


def test_a_screen_without_a_pin_or_over_wires_taken_out_is_none(made):
    gone = "wires: {W1: {from: 'X1:1', to: 'X2:1', fate: removed}}\n"
    assert find_screens(*made(WIRES + "groups: {SC1: {screened: [W1]}}")) == ()
    assert find_screens(*made(gone + "groups: {SC1: {screened: [W1], screen: 'X2:3'}}")) == ()


def test_the_pin_of_a_screen_is_a_pin_and_the_screen_joins_nothing(made):
    _, network = made(WIRES + "groups: {SC1: {screened: [W1, W2], screen: 'X2:3'}}")
    net = network.net_of("X2:3")
    assert net is not None
    assert (net.nodes, net.wires) == (("X2:3", "X3:3"), ())
    assert network.wires_at("X2:3") == ()
    _, bare = made(WIRES)
    assert bare.net_of("X2:3") is None
