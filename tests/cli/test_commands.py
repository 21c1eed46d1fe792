"""The commands, their output and their exit codes."""

import json
import os
import signal
import subprocess
import sys
from functools import partial
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

import wiregen as package
from wiregen.cli import main
from wiregen.facts.ampacity import AMPACITY_TABLES, BUNDLE_TABLES
from wiregen.facts.conductors import CONDUCTOR_TABLES

ROOT = Path(__file__).resolve().parents[2]
SOUND = """\
format: 1
plugs:
  X1:
    title: Plug
    face: [[1, 2]]
    pins:
      1: {carries: feed, colour: RD, source: traced, measured: 2026-01-01}
      2: {carries: earth, colour: BN, source: traced, measured: 2026-01-01}
"""
FAULTY = SOUND + "wires:\n  W1: {from: X1:9, to: X1:2, colour: RD, size: 1.0, length: 100}\n"
LIGHT = (
    SOUND
    + """\
devices:
  G1: {kind: battery, volts: 12}
  E1: {kind: lamp, watts: 5, terminals: [1, 2]}
fuses:
  F1: {rating: 5, fitted_on: G1:plus}
wires:
  W1: {from: F1:out, to: X1:1, colour: RD, size: 1.0, length: 100}
  W2: {from: X1:1, to: E1:1, colour: RD, size: 1.0, length: 100}
  W3: {from: E1:2, to: G1:minus, colour: BN, size: 1.0, length: 100}
"""
)


def subprocess_run(*words: str, cwd: Path, **more: object) -> subprocess.Popen[bytes]:
    env = {**os.environ, "PYTHONPATH": str(ROOT), **more.pop("env", {})}
    return subprocess.Popen(
        [sys.executable, "-m", "wiregen", *words],
        cwd=cwd,
        env=env,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        **more,
    )


def test_version(wiregen):
    done = wiregen("--version")
    assert (done.code, done.out, done.err) == (0, f"wiregen {package.__version__}\n", "")


def test_version_is_that_of_the_package():
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    assert f'version = "{package.__version__}"' in text


def test_help_names_every_command_and_the_exit_codes(wiregen):
    done = wiregen("--help")
    assert done.code == 0
    for word in ("check", "draw", "explain", "colours", "list", "new", "Exit codes: 0 fine"):
        assert word in done.out


def test_new_writes_a_design_that_is_sound_and_can_be_drawn(wiregen, everything):
    assert wiregen("new").code == 0
    done = wiregen("check", "design.yaml")
    assert done.code == 0
    assert " error " not in done.out
    assert wiregen("draw", "design.yaml").code == 0
    assert "out/design/design.pdf" in everything()


def test_new_overwrites_nothing(wiregen, tmp_path):
    (tmp_path / "mine.yaml").write_text("precious", encoding="utf-8")
    done = wiregen("new", "mine.yaml")
    assert done.code == 2
    assert done.err == "wiregen: mine.yaml exists already; name another file\n"
    assert (tmp_path / "mine.yaml").read_text(encoding="utf-8") == "precious"


def test_check_of_a_sound_design(wiregen, tmp_path):
    (tmp_path / "d.yaml").write_text(SOUND, encoding="utf-8")
    done = wiregen("check", "d.yaml")
    assert (done.code, done.err) == (0, "")
    assert done.out.splitlines()[-1].startswith("0 errors, 0 warnings")


def test_check_prints_place_line_mark_and_help(wiregen, tmp_path):
    (tmp_path / "d.yaml").write_text(FAULTY, encoding="utf-8")
    done = wiregen("check", "d.yaml")
    assert done.code == 1
    place, line, mark, help_line, *_ = done.out.splitlines()
    column = FAULTY.splitlines()[9].index("X1:9") + 1
    assert place.startswith(f"d.yaml:10:{column}: error CAV101")
    assert "X1" in place
    assert line.endswith("W1: {from: X1:9, to: X1:2, colour: RD, size: 1.0, length: 100}")
    assert line[mark.index("^") :].startswith("X1:9")
    assert help_line.strip().startswith("help: ")


def test_check_of_several_designs_takes_the_worst_exit_code(wiregen, tmp_path):
    (tmp_path / "good.yaml").write_text(SOUND, encoding="utf-8")
    (tmp_path / "bad.yaml").write_text(FAULTY, encoding="utf-8")
    (tmp_path / "none.yaml").write_text("format: 7\n", encoding="utf-8")
    assert wiregen("check", "good.yaml").code == 0
    assert wiregen("check", "good.yaml", "bad.yaml").code == 1
    done = wiregen("check", "bad.yaml", "none.yaml", "good.yaml")
    assert done.code == 2
    assert "bad.yaml:10:" in done.out
    assert "none.yaml:1:" in done.err


def test_check_as_json(wiregen, tmp_path):
    (tmp_path / "good.yaml").write_text(SOUND, encoding="utf-8")
    (tmp_path / "bad.yaml").write_text(FAULTY, encoding="utf-8")
    (tmp_path / "none.yaml").write_text("format: 7\n", encoding="utf-8")
    done = wiregen("check", "--format", "json", "good.yaml", "bad.yaml", "none.yaml")
    assert (done.code, done.err) == (2, "")
    report = json.loads(done.out)
    files = {finding["file"] for finding in report["findings"] if finding["severity"] == "error"}
    assert files == {"bad.yaml", "none.yaml"}
    first = report["findings"][0]
    assert {"code", "severity", "message", "line", "column", "subjects"} <= set(first)


def test_check_as_sarif(wiregen, tmp_path):
    (tmp_path / "bad.yaml").write_text(FAULTY, encoding="utf-8")
    done = wiregen("check", "--format", "sarif", "bad.yaml")
    assert done.code == 1
    log = json.loads(done.out)
    assert log["version"] == "2.1.0"
    (run,) = log["runs"]
    result = run["results"][0]
    region = result["locations"][0]["physicalLocation"]["region"]
    assert (result["level"], region["startLine"]) == ("error", 10)
    assert result["ruleId"] in {rule["id"] for rule in run["tool"]["driver"]["rules"]}


def test_check_as_annotations(wiregen, tmp_path):
    (tmp_path / "bad.yaml").write_text(FAULTY, encoding="utf-8")
    done = wiregen("check", "--format", "github", "bad.yaml")
    assert done.code == 1
    assert done.out.startswith("::error file=bad.yaml,line=10,col=")
    assert all(line.startswith("::") for line in done.out.splitlines())


def test_draw_writes_what_it_says(wiregen, everything, tmp_path):
    (tmp_path / "d.yaml").write_text(SOUND, encoding="utf-8")
    done = wiregen("draw", "d.yaml")
    assert (done.code, done.err) == (0, "")
    *files, last = done.out.splitlines()
    assert sorted([*files, "d.yaml"]) == everything()
    assert "out/d/d-face-X1.svg" in files
    assert "out/d/d.pdf" in files
    assert "0 errors" in last
    for file in files:
        if file.endswith(".svg"):
            assert ET.parse(tmp_path / file).getroot().get("width", "").endswith("mm")
    assert (tmp_path / "out/d/d.pdf").read_bytes().startswith(b"%PDF-")


def test_draw_of_a_faulty_design_draws_and_says_so(wiregen, tmp_path):
    (tmp_path / "d.yaml").write_text(FAULTY, encoding="utf-8")
    done = wiregen("draw", "d.yaml", "-o", "here")
    assert done.code == 1
    assert "1 error" in done.out.splitlines()[-1]
    svgs = [path.read_text(encoding="utf-8") for path in (tmp_path / "here").glob("*.svg")]
    assert any("CAV101" in svg for svg in svgs)


def test_draw_png(wiregen, tmp_path):
    (tmp_path / "d.yaml").write_text(SOUND, encoding="utf-8")
    assert wiregen("draw", "d.yaml", "--png", "-o", "here").code == 0
    png = (tmp_path / "here" / "d-face-X1.png").read_bytes()
    assert png.startswith(b"\x89PNG\r\n\x1a\n")


def test_draw_again_removes_sheets_that_are_gone_and_nothing_else(wiregen, everything, tmp_path):
    (tmp_path / "d.yaml").write_text(SOUND + SOUND[17:].replace("X1", "X2"), encoding="utf-8")
    assert wiregen("draw", "d.yaml", "-o", "here").code == 0
    (tmp_path / "here" / "notes.txt").write_text("mine", encoding="utf-8")
    assert "here/d-face-X2.svg" in everything()
    (tmp_path / "d.yaml").write_text(SOUND, encoding="utf-8")
    assert wiregen("draw", "d.yaml", "-o", "here").code == 0
    left = everything()
    assert "here/d-face-X2.svg" not in left
    assert "here/d-face-X1.svg" in left
    assert "here/notes.txt" in left


def test_explain(wiregen):
    done = wiregen("explain", "cav102")
    assert done.code == 0
    assert done.out.startswith("CAV102 ")
    assert "Why" in done.out
    done = wiregen("explain", "CAV99")
    assert done.code == 2
    assert done.err.startswith("wiregen: 'CAV99' is not a rule; did you mean 'CAV")


def test_explain_answers_for_every_code_that_is_listed(wiregen):
    listed = wiregen("list", "rules").out.splitlines()
    assert len(listed) > 30
    for line in listed:
        assert wiregen("explain", line.split()[0]).code == 0


@pytest.mark.parametrize(
    ("what", "said"),
    [
        ("faces", "iso-11446"),
        ("colours", "TQ"),
        ("colours", "japanese"),
        ("tables", "colour_keys"),
        ("tables", "wiregen list keys system.tables"),
    ],
)
def test_list(wiregen, what, said):
    done = wiregen("list", what)
    assert (done.code, done.err) == (0, "")
    assert said in done.out


def test_colours(wiregen):
    done = wiregen("colours", "BU/WH")
    assert done.code == 0
    assert done.out.splitlines()[0].split(maxsplit=1) == [
        "iec-60757",
        "BU/WH, blue with white tracer",
    ]
    done = wiregen("colours", "SB", "--key", "japanese")
    assert done.code == 0
    assert "swedish" in done.out
    assert wiregen("colours", "QQ").code == 2
    assert wiregen("colours", "BU", "--key", "martian").code == 2


def test_an_own_bug_is_said_to_be_one(monkeypatch, capsys):
    from wiregen.cli import catalogue

    def broken(code: str) -> int:
        raise ZeroDivisionError("as if")

    monkeypatch.setattr(catalogue, "explain_code", broken)
    with pytest.raises(SystemExit) as left:
        main(["explain", "CAV102"])
    assert left.value.code == 70
    err = capsys.readouterr().err
    assert "ZeroDivisionError: as if" in err
    assert "This is a bug in wiregen" in err


def test_ctrl_c_is_quiet(monkeypatch, capsys):
    from wiregen.cli import catalogue

    def interrupted(code: str) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr(catalogue, "explain_code", interrupted)
    with pytest.raises(SystemExit) as left:
        main(["explain", "CAV102"])
    assert left.value.code == 130
    assert capsys.readouterr().err == ""


def test_a_reader_that_leaves_early_is_no_fault(tmp_path):
    process = subprocess_run("list", "rules", cwd=tmp_path)
    process.stdout.close()
    err = process.stderr.read()
    process.stderr.close()
    process.wait(60)
    assert err == b""
    assert process.returncode in (0, 1)


def test_ctrl_c_on_the_real_process_is_quiet(tmp_path):
    os.mkfifo(tmp_path / "slow.yaml")
    # a shell that runs the tests in the background may have switched the signal off
    usual = partial(signal.signal, signal.SIGINT, signal.default_int_handler)
    process = subprocess_run("check", "slow.yaml", cwd=tmp_path, preexec_fn=usual)
    with open(tmp_path / "slow.yaml", "wb"):  # opens when the process begins to read
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=60)
    assert (out, err) == (b"", b"")
    assert process.returncode == 130


def test_output_survives_a_terminal_without_unicode(tmp_path):
    (tmp_path / "d.yaml").write_text(SOUND.replace("Plug", "Größe"), encoding="utf-8")
    faulty = FAULTY.replace("X1:9", "X1:ö")
    (tmp_path / "f.yaml").write_text(faulty, encoding="utf-8")
    env = {"LC_ALL": "C", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    process = subprocess_run("check", "d.yaml", "f.yaml", cwd=tmp_path, env=env)
    out, err = process.communicate(timeout=60)
    assert process.returncode in (1, 2)
    assert "ö".encode() in out or b"\\xf6" in out
    assert b"Traceback" not in err


def test_a_missing_dot_is_said_and_the_drawing_made(wiregen, tmp_path, monkeypatch):
    (tmp_path / "d.yaml").write_text(SOUND, encoding="utf-8")
    monkeypatch.setenv("PATH", str(tmp_path))
    done = wiregen("draw", str(tmp_path / "d.yaml"), "--dot", "-o", str(tmp_path / "out"))
    assert done.code == 0
    assert "dot is not installed" in done.err
    assert (tmp_path / "out" / "d.pdf").exists()


def test_draw_keeps_the_layout_beside_the_design_and_fresh_lays_out_anew(wiregen, tmp_path):
    (tmp_path / "light.yaml").write_text(LIGHT, encoding="utf-8")
    assert wiregen("draw", "light.yaml").code == 0
    beside = tmp_path / "light.layout.yaml"
    first = beside.read_text(encoding="utf-8")
    assert "E1: " in first
    moved = first.replace("corner: ", "corner: 1", 1)
    assert moved != first
    beside.write_text(moved, encoding="utf-8")
    assert wiregen("draw", "light.yaml", "--plug", "X1").code == 0
    assert beside.read_text(encoding="utf-8") == moved
    assert wiregen("draw", "light.yaml", "--fresh").code == 0
    assert beside.read_text(encoding="utf-8") == first


def test_a_broken_layout_is_named_passed_over_and_replaced(wiregen, tmp_path):
    (tmp_path / "light.yaml").write_text(LIGHT, encoding="utf-8")
    beside = tmp_path / "light.layout.yaml"
    beside.write_text("layout: 1\n<<<<<<< ours\n", encoding="utf-8")
    done = wiregen("draw", "light.yaml")
    assert done.code == 0
    assert "light.layout.yaml:2:1: a merge conflict" in done.err
    assert "<<<<" not in beside.read_text(encoding="utf-8")


@pytest.mark.parametrize(("section", "record"), [("fuses", "fuse"), ("plugs.pins", "pin")])
def test_every_key_of_a_section_is_listed(wiregen, section, record):
    schema = json.loads((ROOT / "schemas" / "design-1.schema.json").read_text(encoding="utf-8"))
    sections = {line.split()[0] for line in wiregen("list", "keys").out.splitlines()}
    assert schema["properties"].keys() <= sections
    done = wiregen("list", "keys", section)
    assert done.code == 0
    listed = {line.split()[0] for line in done.out.splitlines()[1:] if not line.startswith(" ")}
    assert listed == schema["$defs"][record]["properties"].keys()


def test_the_tables_a_design_may_choose_are_those_there_are(wiregen, tmp_path):
    schema = json.loads((ROOT / "schemas" / "design-1.schema.json").read_text(encoding="utf-8"))
    said = schema["$defs"]["system"]["properties"]["tables"]["properties"]
    assert {key: tuple(value["enum"]) for key, value in said.items()} == {
        "conductor": CONDUCTOR_TABLES,
        "ampacity": AMPACITY_TABLES,
        "bundle": BUNDLE_TABLES,
        "fuse": ("iso-8820-3",),
    }
    assert "vde-0298-4" in wiregen("list", "keys", "system.tables").out
    design = tmp_path / "light.yaml"
    design.write_text("format: 1\nsystem: {tables: {ampacity: iso10133}}\n", "utf-8")
    done = wiregen("check", design)
    assert done.code == 2
    assert "light.yaml:2:29: error FMT110" in done.out + done.err
    assert "did you mean 'iso-10133'?" in done.out + done.err


def test_a_section_that_is_not_there_is_named(wiregen):
    done = wiregen("list", "keys", "plugs.pinz")
    assert (done.code, done.err) == (2, "wiregen: no key 'pinz'; did you mean 'pins'?\n")
    assert "takes a section" in wiregen("list", "rules", "plugs").err
