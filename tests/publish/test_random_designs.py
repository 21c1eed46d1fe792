"""Random designs: tables, test sheets and packs are made of every one, with nothing lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.strategies import design_text, designs
from wiregen.connect import connect
from wiregen.connect.behind import behind_fuse, unplug_order
from wiregen.layout.table_pages import table_pages
from wiregen.publish import Document
from wiregen.publish.pack import Pack
from wiregen.publish.proving import proof_tables, prove
from wiregen.publish.proving.judge import judge_results
from wiregen.publish.proving.results import Result
from wiregen.publish.tables import all_tables
from wiregen.publish.tables.write import to_csv, to_xlsx
from wiregen.read import load

SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large]


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    return tmp_path_factory.mktemp("random")


def saved(folder: Path, document) -> Path:
    path = folder / "design.yaml"
    path.write_text(design_text(document), "utf-8")
    return path


@settings(max_examples=40, deadline=None, suppress_health_check=SLOW)
@given(document=designs(bad_ends=True))
def test_tables_of_any_design(folder, document):
    design = load(saved(folder, document)).design
    network = connect(design)
    tables = {table.name: table for table in all_tables(design, network)}
    assert [row[0] for row in tables["wires"].rows] == list(design.wires)
    built = [w.id for w in design.wires.values() if design.status_of(w) == "new"]
    assert sorted(row[4] for row in tables["cut"].rows) == sorted(built)
    assert sum(int(row[3]) for row in tables["reels"].rows) == len(built)
    for table in tables.values():
        assert all(len(row) == len(table.columns) for row in table.rows)
        assert to_csv(table)
    assert to_xlsx(list(tables.values()))
    assert table_pages(design, list(tables.values()))


@settings(max_examples=40, deadline=None, suppress_health_check=SLOW)
@given(document=designs())
def test_tests_of_any_design(folder, document):
    design = load(saved(folder, document)).design
    network = connect(design)
    checks = prove(design, network).checks
    assert len({check.id for check in checks}) == len(checks)
    read = {wire for check in checks if check.kind == "continuity" for wire in check.wires}
    conducting = {
        wire.id
        for wire in design.wires.values()
        if len(wire.ends) == 2 and wire.fate not in ("insulated", "removed")
    }
    assert read == conducting
    for check in checks:
        if check.kind == "continuity":
            assert network.net_index[check.start] == network.net_index[check.end]
    results = [
        Result(check.id, "fail" if check.kind == "step" else "0.1", date="2026-12-01")
        for check in checks
    ]
    verdicts = judge_results(design, network, checks, results)
    assert {one.verdict for one in verdicts if one.check.kind == "continuity"} <= {"good"}
    assert proof_tables(design, network)


@settings(max_examples=40, deadline=None, suppress_health_check=SLOW)
@given(document=designs())
def test_searches_behind_any_fuse_end(folder, document):
    design = load(saved(folder, document)).design
    network = connect(design)
    for fuse in design.fuses:
        order = unplug_order(network, behind_fuse(network, fuse))
        for number, step in enumerate(order, start=1):
            if step.point:
                gone, still = order[step.gone - 1], order[step.still - 1]
                assert step.gone > number
                assert step.still > number
                assert sorted((*gone.suspects, *still.suspects)) == sorted(step.suspects)


@settings(max_examples=6, deadline=None, suppress_health_check=SLOW)
@given(document=designs(max_plugs=3))
def test_a_pack_of_any_design(folder, document):
    pack = Pack(Document(saved(folder, document)))
    assert pack.pdf().startswith(b"%PDF")


@settings(max_examples=60, deadline=None, suppress_health_check=SLOW)
@given(document=designs(), chance=st.randoms(use_true_random=False))
def test_any_readings_of_any_design_are_judged(folder, document, chance):
    """Good and bad readings, places that are and are not: a verdict each, in words when bad."""
    design = load(saved(folder, document)).design
    network = connect(design)
    checks = prove(design, network).checks
    places = ["", "", "", "X99:1", *network.wires_on, *list(design.earths)]
    results = [
        Result(
            check.id,
            chance.choice(["0.1", "OL", "ok", "fail", "3 ohm", "40 k"] if check.is_wiring
                          else ["ok", "fail"]),
            found_at=chance.choice(places) if check.is_wiring else "",
            date="2026-12-01",
        )
        for check in checks
        if check.kind in ("continuity", "isolation", "step") and chance.random() < 0.8
    ]  # fmt: skip
    judged = judge_results(design, network, checks, results)
    asked = {check.id for check in checks if check.has_limits} | {one.test for one in results}
    assert [one.check.id for one in judged] == [c.id for c in checks if c.id in asked]
    assert all(bool(one.words) == (one.verdict != "good") for one in judged
               if one.verdict in ("good", "bad"))  # fmt: skip
    mixed = list(results)
    chance.shuffle(mixed)
    assert judge_results(design, network, checks, mixed) == judged
