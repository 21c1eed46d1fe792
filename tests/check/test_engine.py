"""Waivers, groups, order, stages and variants."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiregen.check import NotChecked, Report, check
from wiregen.read import load


def checked(tmp_path: Path, text: str) -> Report:
    path = tmp_path / "design.yaml"
    path.write_text(text, "utf-8")
    return check(load(path))


def codes(report: Report) -> list[str]:
    return [problem.code for problem in report.findings]


PINS = """
format: 1
plugs:
  X1:
    title: Wiper plug
    pins:
      1: {carries: feed}
      2: {carries: park}
      3: {carries: motor}
"""


def test_findings_of_a_group_are_one(tmp_path):
    (finding,) = checked(tmp_path, PINS).findings
    assert finding.message == "X1 (Wiper plug): 3 pins have no source: 1, 2, 3"
    assert (finding.span.line, finding.span.column) == (7, 7)
    assert finding.subjects == ("X1:1", "X1", "X1:2", "X1:3")


def test_waiver_takes_one_member_out_of_a_group(tmp_path):
    text = PINS + "accepted: [{rule: DOC201, object: X1:2, why: read off the plug}]\n"
    report = checked(tmp_path, text)
    (finding,) = report.findings
    assert finding.message == "X1 (Wiper plug): 2 pins have no source: 1, 3"
    ((waived, waiver),) = report.waived
    assert waived.message == "X1:2 has no source"
    assert waiver.why == "read off the plug"


def test_waiver_of_the_plug_takes_all_its_pins(tmp_path):
    text = PINS + "accepted: [{rule: DOC201, object: X1, why: measured by eye}]\n"
    report = checked(tmp_path, text)
    assert report.findings == ()
    assert len(report.waived) == 3


@pytest.mark.parametrize(
    ("waiver", "message"),
    [
        ("{rule: DOC201, object: X9:1, why: gone}", "nothing is waived by 'DOC201' on 'X9:1'"),
        ("{rule: DOC999, object: X1:1, why: typing}", "'DOC999' is not a rule"),
    ],
)
def test_unused_waiver_is_a_finding(tmp_path, waiver, message):
    report = checked(tmp_path, PINS + f"accepted:\n  - {waiver}\n")
    finding = next(p for p in report.findings if p.code == "DOC101")
    assert finding.message == message
    assert finding.span.line == 11


def test_waiver_accepts_a_finding_of_the_reader(tmp_path):
    text = """
format: 1
plugs:
  X1: {pins: {1: {carries: feed, colour: OR, source: book}}}
accepted: [{rule: COL101, object: X1:1, why: printed so in the book}]
"""
    report = checked(tmp_path, text)
    assert report.findings == ()
    assert [p.code for p, _ in report.waived] == ["COL101"]


def test_most_dangerous_first_then_order_of_the_file(tmp_path):
    text = """
format: 1
plugs:
  X1: {face: [[1, 2, 3]], pins: {1: {carries: feed, source: a}, 2: empty, 3: blocked}}
devices:
  G1: {kind: battery, volts: 96}
splices: {J1: {}}
wires:
  W1: {from: X1:2, to: J1}
  W2: {from: X1:3, to: J1}
"""
    report = checked(tmp_path, text)
    assert codes(report)[:3] == ["SAF101", "CAV104", "CAV104"]
    assert [p.subjects[0] for p in report.findings[1:3]] == ["W1", "W2"]
    severities = [p.severity for p in report.findings]
    assert severities == sorted(severities, key=["error", "warning", "info"].index)


BROKEN = """
format: 1
fuses: {F1: {rating: 10}}
devices:
  P1: {kind: lamp, terminals: [1, 2]}
wires:
  W1: {from: F1:out, to: P9:1}
"""


def test_structure_errors_stop_what_depends_on_them(tmp_path):
    report = checked(tmp_path, BROKEN)
    assert codes(report)[0] == "REF102"
    assert "NET104" in report.skipped
    assert "FUS101" in report.skipped
    assert not any(code.startswith(("CAV", "COL", "SAF", "DOC")) for code in report.skipped)
    assert not any(code.startswith("NET") for code in codes(report))


def test_accepted_structure_error_stops_nothing(tmp_path):
    text = BROKEN + "accepted: [{rule: REF102, object: W1, why: lamp not chosen yet}]\n"
    assert checked(tmp_path, text).skipped == ()


def test_missing_facts_are_named_with_their_objects(tmp_path):
    text = """
format: 1
fuses: {F1: {rating: 10}}
earths: {EP1: {}}
devices:
  P1: {kind: lamp, terminals: [1, 2]}
  P2: {kind: lamp, terminals: [1, 2]}
wires:
  W1: {from: F1:out, to: P1:1}
  W2: {from: P1:2, to: EP1}
  W3: {from: F1:out, to: P2:1}
  W4: {from: P2:2, to: EP1}
"""
    report = checked(tmp_path, text)
    assert (
        NotChecked("NET104", "a source (a battery or an alternator)", ("P1", "P2"))
        in report.not_checked
    )
    assert NotChecked("FUS101", "a source (a battery or an alternator)", ()) in report.not_checked


VARIANTS = """
format: 1
variants: {early: first series, late: second series}
fuses: {F1: {rating: 10}}
plugs:
  X1:
    pins:
      1: {carries: feed, circuit: feed, source: book}
      2: {carries: lamp, circuit: lamp, source: book, only: [early]}
splices: {J1: {}}
wires:
  W1: {from: F1:out, to: X1:1}
  W2: {from: J1, to: X1:2, only: [early]}
  W3: {from: J1, to: F1:out, only: [late]}
  W4: {from: J1, to: F1:out, only: [early]}
"""


def test_variants_do_not_disturb_each_other(tmp_path):
    report = checked(
        tmp_path, VARIANTS.replace("  W4: {from: J1, to: F1:out, only: [early]}\n", "")
    )
    assert "NET101" not in codes(report)


def test_finding_names_the_variant_it_holds_for(tmp_path):
    report = checked(tmp_path, VARIANTS)
    finding = next(p for p in report.findings if p.code == "NET101")
    assert finding.variant == "early"


def test_finding_of_all_variants_names_none(tmp_path):
    text = VARIANTS.replace("carries: feed, circuit: feed, source: book", "carries: feed")
    finding = next(p for p in checked(tmp_path, text).findings if p.code == "DOC201")
    assert finding.variant == ""


def test_reference_to_another_variant_says_so(tmp_path):
    text = VARIANTS.replace("splices: {J1: {}}", "splices: {J1: {only: [early]}}")
    found = [p for p in checked(tmp_path, text).findings if p.code == "REF102"]
    assert [(p.variant, p.subjects[0]) for p in found] == [("late", "W3")]
    assert "belongs to another variant" in found[0].message


def test_same_report_whatever_the_order_of_the_file(tmp_path):
    wires = [
        "  W1: {from: F1:out, to: X1:1}\n",
        "  W2: {from: J1, to: X1:2}\n",
        "  W10: {from: J1, to: F1:out}\n",
    ]
    head = VARIANTS.partition("wires:\n")[0].replace(", only: [early]", "") + "wires:\n"
    one = checked(tmp_path, head + "".join(wires))
    other = checked(tmp_path, head + "".join(reversed(wires)))
    assert sorted(p.message for p in one.findings) == sorted(p.message for p in other.findings)


LOADS = """
format: 1
contacts: {blade: {wire: 0.5..1.5}, bare: {blade: 2.8}}
plugs:
  X1: {contact: blade, face: [[1, 2]]}
  X2: {contact: bare, face: [[1]]}
  X3: {mates: X4}
  X4: {}
fuses: {F1: {rating: 10, fitted_on: G1:plus}}
devices:
  G1: {kind: battery, volts: 12}
  A1: {kind: unit}
  M1: {kind: motor, terminals: [1]}
  P1: {kind: lamp}
wires:
  W1: {from: X1:1, to: F1:out}
  W2: {from: X2:1, to: M1:1}
  W3: {from: X3:7, to: P1:1}
groups: {TW1: {twisted: [W1, W2]}}
buses:
  B1: {kind: own, members: [X1:1], leg_amps: 3}
"""


@pytest.mark.parametrize(
    "missing",
    [
        NotChecked("BLD101", "size of the wire", ("W1",)),
        NotChecked("BLD101", "wire range of the contact", ("bare",)),
        NotChecked("NET104", "second terminal or case of the load", ("M1", "P1")),
        NotChecked("CAV101", "face or pins of the plug", ("X3",)),
        NotChecked("CON102", "contacts (pins or sockets) of the plug", ("X3", "X4")),
        NotChecked("NET113", "untwist of the group", ("TW1",)),
        NotChecked("NET114", "kind of the bus (CAN, J1939, NMEA 2000 ...)", ("B1",)),
        NotChecked("NET126", "amps of the device", ("X1",)),
        NotChecked("REF103", "terminals of the device", ("P1",)),
    ],
    ids=lambda item: item.needs,
)
def test_what_could_not_be_checked(tmp_path, missing):
    assert missing in checked(tmp_path, LOADS).not_checked


def test_long_groups_are_cut_short_but_keep_every_subject(tmp_path):
    pins = "".join(f"      {n}: {{carries: line {n}}}\n" for n in range(1, 51))
    (finding,) = checked(tmp_path, f"format: 1\nplugs:\n  X1:\n    pins:\n{pins}").findings
    assert finding.message.startswith("X1: 50 pins have no source: 1, 2, 3,")
    assert finding.message.endswith("31, 32 and 18 more")
    assert {f"X1:{n}" for n in range(1, 51)} <= set(finding.subjects)


def test_parts_inside_a_unit_belong_to_variants_too(tmp_path):
    text = """
format: 1
variants: {a: one, b: two}
plugs:
  X1: {of: A1, pins: {1: {circuit: x, source: s}, 2: {circuit: y, source: s}}}
devices:
  A1: {kind: unit, inside: {L1: {join: [X1:1, X1:2], only: [b]}}}
"""
    found = [p for p in checked(tmp_path, text).findings if p.code == "NET101"]
    assert [p.variant for p in found] == ["b"]


def test_facts_that_do_not_apply_are_not_asked_for(tmp_path):
    text = """
format: 1
plugs:
  X1: {face: [[1]]}
  X2: {of: A1, pins: {1: {role: screen, source: s}}}
devices: {A1: {kind: unit}}
splices: {J1: {}}
wires: {W1: {from: X1:1, to: J1}}
groups: {SC1: {screened: [W1], screen: X2:1}}
buses: {B1: {kind: CAN, members: [X1:1], terminators: {A1: active}}}
"""
    asked = {item.code for item in checked(tmp_path, text).not_checked}
    assert not asked & {"NET113", "NET114", "NET115", "NET126"}
