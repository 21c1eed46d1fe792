"""What is lost with an earth, a fuse, a plug or a wire."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.compute.designs import study
from wiregen.compute.lost import losses_of

FOLDER = Path(__file__).parent / "circuits"


def table(text: str) -> dict[tuple[str, str], dict[str, tuple[str, float | None]]]:
    return {
        (loss.object, loss.state): {e.load: (e.word, e.volts_v) for e in loss.effects}
        for loss in losses_of(study(text))
    }


def test_lost_lamp_earth_makes_other_lamps_glow() -> None:
    """Source: ngspice 39.3 operating point: left earth lost, stop pressed.

    The left stop lamp gets 0.44 V, both tail lamps 5.97 V, the left one backwards.
    """
    text = (FOLDER / "01-lost-rear-lamp-earth.yaml").read_text(encoding="utf-8")
    states = text.index("states:")
    found = table(text[:states] + "states:\n  stop: {STOPSW: pressed}\n")
    effects = found["GND_L", "stop"]
    assert {load: word for load, (word, _) in effects.items()} == {
        "STOP_L": "dead",
        "TAIL_L": "comes on",
        "TAIL_R": "comes on",
    }
    assert effects["STOP_L"][1] == pytest.approx(0.44, abs=0.01)
    assert effects["TAIL_L"][1] == pytest.approx(-5.967, abs=0.001)
    assert effects["TAIL_R"][1] == pytest.approx(5.967, abs=0.001)
    assert found["F1", "stop"] == {"STOP_L": ("dead", 0), "STOP_R": ("dead", 0)}
    assert ("F2", "stop") not in found


def test_lost_relay_feed() -> None:
    text = (FOLDER / "04-relay-coil-diode.yaml").read_text(encoding="utf-8")
    found = table(text)
    assert found["F1", "on"] == {"K1": ("drops out", None), "LAMP1": ("dead", 0)}
    assert found["F2", "on"] == {"LAMP1": ("dead", 0)}
    assert not [key for key in found if key[1] == "off"]
