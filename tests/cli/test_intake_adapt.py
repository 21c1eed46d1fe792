"""The commands compare and adapt as a user meets them."""

import pytest

VEHICLE = """format: 1
plugs:
  X1:
    housing: h8
    contacts: sockets
    pins:
      1: {carries: Blinker links, colour: BK/WH, size: 1.0, source: list}
      2: {carries: Dauerplus, role: supply, colour: RD, size: 2.5, source: list}
      3: {carries: Masse, role: earth, colour: BN, size: 2.5, source: list}
"""
PANEL = """format: 1
plugs:
  X4:
    housing: panel
    contacts: pins
    pins:
      1: {carries: earth, role: earth, source: manual}
      2: {carries: left turn signal, source: manual}
      3: {carries: permanent supply, role: supply, source: manual}
"""


@pytest.fixture(autouse=True)
def files(tmp_path):
    (tmp_path / "vehicle.yaml").write_text(VEHICLE, encoding="utf-8")
    (tmp_path / "panel.yaml").write_text(PANEL, encoding="utf-8")
    (tmp_path / "same.yaml").write_text(PANEL.replace("panel", "h8"), encoding="utf-8")


def test_compare_says_what_would_meet_what(wiregen):
    done = wiregen("compare", "vehicle.yaml:X1", "panel.yaml:X4")
    assert (done.code, done.err) == (1, "")
    assert "X1:3 'Masse' would meet X4:3 'permanent supply': short" in done.out
    assert "  Blinker links: 1 -> 2" in done.out
    assert wiregen("compare", "vehicle.yaml:X1", "vehicle.yaml").code == 0


def test_adapt_drafts_a_loom_that_passes_and_draws(wiregen, everything):
    done = wiregen("adapt", "vehicle.yaml:X1", "panel.yaml:X4", "-o", "a.yaml")
    assert (done.code, done.err) == (0, "")
    assert "X1:1 'Blinker links'" in done.out
    assert "a.yaml written: 0 errors" in done.out
    assert wiregen("check", "a.yaml").code == 0
    assert wiregen("draw", "a.yaml").code == 0
    assert "out/a/a.pdf" in everything()


def test_adapt_gives_moves_for_one_housing(wiregen, tmp_path):
    done = wiregen("adapt", "vehicle.yaml:X1", "same.yaml:X4")
    assert done.code == 0
    assert "[ ]   1. hold aside" in done.out
    assert wiregen("adapt", "vehicle.yaml:X1", "same.yaml:X4", "-o", "list.txt").code == 0
    listed = (tmp_path / "list.txt").read_text(encoding="utf-8")
    assert listed in done.out
    assert wiregen("adapt", "vehicle.yaml:X1", "same.yaml:X4", "-o", "new.yaml").code == 0
    assert "3: {carries: Dauerplus" in (tmp_path / "new.yaml").read_text(encoding="utf-8")
    assert wiregen("adapt", "vehicle.yaml:X1", "same.yaml:X4", "--as", "loom").code == 0
    assert (tmp_path / "adapter.yaml").exists()


def test_standards_on_either_side(wiregen):
    done = wiregen("adapt", "iso-11446", "iso-1724")
    assert done.code == 0
    assert "adapter.yaml written: 0 errors" in done.out
    assert wiregen("compare", "iso-11446", "vehicle.yaml:X1").code == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ["compare", "vehicle.yaml:X2", "panel.yaml:X4"],
            "vehicle.yaml has no plug 'X2'; it has X1",
        ),
        (["compare", "iso-1142", "panel.yaml:X4"], "a standard; did you mean 'iso-11446'?"),
        (["compare", "none.yaml:X1", "panel.yaml:X4"], "none.yaml"),
        (["compare", "both.yaml:X1,X2", "panel.yaml:X4"], "compare takes one plug a side"),
        (["compare", "both.yaml", "panel.yaml:X4"], "say which plug: both.yaml:X1"),
        (["adapt", "vehicle.yaml:X1", "panel.yaml:X4", "-o", "panel.yaml"], "exists already"),
        (["adapt", "both.yaml:X1,X2", "panel.yaml:X4", "--as", "re-pin"], "one plug a side"),
        (["adapt", "iso-1724", "iso-11446", "--as", "re-pin", "-o", "n.yaml"], "has no file"),
    ],
)
def test_wrong_use_writes_nothing(wiregen, tmp_path, everything, words, said):
    (tmp_path / "both.yaml").write_text("format: 1\nplugs: {X1: {}, X2: {}}\n", encoding="utf-8")
    before = everything()
    done = wiregen(*words)
    assert done.code == 2
    assert said in done.err
    assert everything() == before
