"""Whatever a design says, the computation answers or says why not."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings

from tests.compute.designs import read
from tests.strategies import design_text, designs
from wiregen.compute.render_sizes import sizes_data, sizes_text
from wiregen.compute.render_states import states_data, states_text
from wiregen.compute.sizing import size_fuses, size_wires
from wiregen.compute.study import Study
from wiregen.connect import connect
from wiregen.model import Design

FOLDER = Path(__file__).parent / "circuits"


def printed(design: Design) -> str:
    study = Study(design, connect(design))
    fuses = size_fuses(study)
    wires = size_wires(study, fuses)
    data = json.dumps([states_data(study), sizes_data(study, wires, fuses)])
    assert study.back_feeds is not None
    assert study.guards is not None
    assert dict(study.strong_shorts) is not None
    return states_text(study) + sizes_text(study, wires, fuses) + data


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(designs())
def test_no_design_stops_it(tree) -> None:
    design = read(design_text(tree)).design
    for point in Study(design, connect(design)).points.values():
        assert point.found or point.outcome
    printed(design)


@pytest.mark.parametrize("name", ["01-lost-rear-lamp-earth", "04-relay-coil-diode"])
def test_the_order_of_the_file_changes_nothing(name: str) -> None:
    tree = yaml.safe_load((FOLDER / f"{name}.yaml").read_text(encoding="utf-8"))
    turned = {
        key: dict(reversed(value.items())) if isinstance(value, dict) else value
        for key, value in reversed(tree.items())
    }
    assert list(turned["wires"]) != list(tree["wires"])
    first, second = (
        printed(read(yaml.safe_dump(t, sort_keys=False)).design) for t in (tree, turned)
    )
    assert first == second
