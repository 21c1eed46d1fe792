"""Odd but legal designs: drawn right, every text as text, same bytes in any order."""

import json
import os
import random
import subprocess
import sys
from pathlib import Path
from typing import ClassVar
from xml.etree import ElementTree as ET

import pytest
import yaml

ROOT = Path(__file__).resolve().parents[2]
SVG = "{http://www.w3.org/2000/svg}"
ODD = {
    "markup": "<script>alert(1)</script>",
    "entity": "a & b &amp; c",
    "maths": "$x$ and $5 to $6",
    "typesetting": '#eval("1") *bold* _it_ @ref <label> \\ `code`',
    "quotes": "\"double\" 'single'",
    "comment end": "--> ]]> <!--",
    "letters": "Größe Ω² µ → Ж",
    "path": "../../etc/passwd",
}


def design(title: str) -> str:
    text = json.dumps(title, ensure_ascii=False)
    return f"""\
format: 1
drawing: {{title: {text}, number: {text}, by: {text}}}
plugs:
  X1:
    title: {text}
    where: {text}
    face: [[1, 2]]
    pins:
      1: {{carries: {text}, circuit: {text}, colour: RD, size: 1.0, source: {text}, note: {text}}}
      2: {{carries: other, colour: BN, size: 1.0}}
devices:
  P1: {{kind: lamp, title: {text}, terminals: [1, 2]}}
wires:
  W1: {{from: X1:1, to: P1:1, colour: RD, size: 1.0, length: 100}}
  W2: {{from: X1:2, to: P1:2, colour: BN, size: 1.0, length: 100}}
"""


def texts(root: ET.Element) -> str:
    return " ".join("".join(text.itertext()) for text in root.iter(f"{SVG}text"))


def test_letters_the_font_lacks_are_named_once_and_stay_in_the_svg(wiregen, tmp_path):
    (tmp_path / "d.yaml").write_text(design("水泵 pump"), encoding="utf-8")
    done = wiregen("draw", "d.yaml", "-o", "here")
    assert done.err.count("the font has no 水 泵:") == 1
    roots = [ET.parse(path).getroot() for path in (tmp_path / "here").glob("*.svg")]
    assert any("水泵 pump" in texts(root) for root in roots)
    (tmp_path / "d.yaml").write_text(design("pump"), encoding="utf-8")
    assert "the font has no" not in wiregen("draw", "d.yaml", "-o", "here").err


@pytest.mark.parametrize("name", ODD)
def test_odd_texts_are_text_on_every_sheet(wiregen, tmp_path, name):
    (tmp_path / "d.yaml").write_text(design(ODD[name]), encoding="utf-8")
    done = wiregen("draw", "d.yaml", "-o", "here")
    assert done.code in (0, 1), done.err
    roots = [ET.parse(path).getroot() for path in (tmp_path / "here").glob("*.svg")]
    assert any(ODD[name] in texts(root) for root in roots)
    for root in roots:
        tags = {element.tag.removeprefix(SVG) for element in root.iter()}
        assert tags <= {"svg", "g", "path", "rect", "circle", "text", "tspan", "title"}
    assert (tmp_path / "here" / "d.pdf").read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize(
    "title", ["\U0001f600 \U0001f6b2", "שלום", "x" * 200, "word " * 40, "宽" * 60]
)
def test_long_and_unprintable_titles_are_drawn(wiregen, everything, tmp_path, title):
    (tmp_path / "d.yaml").write_text(design(title.strip()), encoding="utf-8")
    done = wiregen("draw", "d.yaml", "-o", "here")
    assert done.code in (0, 1), done.err
    assert "here/d.pdf" in everything()


def test_a_circuit_of_any_name_never_names_a_path(wiregen, everything, tmp_path):
    (tmp_path / "d.yaml").write_text(design("../../a b"), encoding="utf-8")
    done = wiregen("draw", "d.yaml", "--circuit", "../../a b", "-o", "here")
    assert done.code in (0, 1), done.err
    assert all(file == "d.yaml" or file.startswith("here/") for file in everything())
    assert not list(tmp_path.parent.glob("*a b*"))


def test_no_plugs_at_all(wiregen, tmp_path):
    (tmp_path / "d.yaml").write_text("format: 1\n", encoding="utf-8")
    assert wiregen("check", "d.yaml").code == 0
    done = wiregen("draw", "d.yaml")
    assert done.code in (0, 2)
    assert "Traceback" not in done.err


def test_a_plug_without_pins(wiregen, everything, tmp_path):
    (tmp_path / "d.yaml").write_text("format: 1\nplugs: {X1: {title: Bare}}\n", encoding="utf-8")
    assert wiregen("check", "d.yaml").code == 0
    assert wiregen("draw", "d.yaml").code == 0
    assert "out/d/d-face-X1.svg" in everything()


def test_one_plug_with_500_cavities(wiregen, tmp_path):
    rows = [[row * 25 + column for column in range(25)] for row in range(20)]
    pins = {n: {"carries": f"line {n}", "colour": "RD", "size": "1.0"} for n in range(500)}
    plug = {"title": "Large", "face": rows, "pins": pins}
    text = json.dumps({"format": 1, "plugs": {"X1": plug}})
    (tmp_path / "d.yaml").write_text(text, encoding="utf-8")
    done = wiregen("draw", "d.yaml", "-o", "here")
    assert done.code == 0, done.err
    drawn = {
        group.get("data-pin")
        for path in (tmp_path / "here").glob("*.svg")
        for group in ET.parse(path).getroot().iter(f"{SVG}g")
        if group.get("class") == "cavity"
    }
    assert drawn == {f"X1:{n}" for n in range(500)}


def test_no_sheet_is_lost_to_another_of_the_same_name(wiregen, tmp_path):
    rows = [[row * 10 + column for column in range(10)] for row in range(6)]
    pins = {n: {"carries": f"line {n}", "colour": "RD", "size": "1.0"} for n in range(60)}
    plugs = {
        "X1": {"title": "Large", "face": rows, "pins": pins},
        "X1-2": {"title": "Looks like a second page", "face": [[1]]},
        "x1": {"title": "Differs in capitals only", "face": [[1]]},
    }
    (tmp_path / "d.yaml").write_text(json.dumps({"format": 1, "plugs": plugs}), encoding="utf-8")
    done = wiregen("draw", "d.yaml", "-o", "here")
    assert done.code == 0, done.err
    drawn = [path.name for path in (tmp_path / "here").glob("*.svg")]
    assert done.out.splitlines()[-1].startswith(f"{len(drawn)} sheets")
    assert len({name.casefold() for name in drawn}) == len(drawn)


def shuffled(node: object, chance: random.Random) -> object:
    """The same mapping in another order; lists and the positions of a switch keep theirs."""
    if isinstance(node, dict):
        keys = list(node)
        chance.shuffle(keys)
        return {
            key: node[key] if key == "positions" else shuffled(node[key], chance) for key in keys
        }
    if isinstance(node, list):
        return [shuffled(item, chance) for item in node]
    return node


class Plain(yaml.SafeDumper):
    """Writes every scalar bare, as the file had it."""

    yaml_implicit_resolvers: ClassVar[dict] = {}


def drawn_with(seed: str, folder: Path) -> dict[str, bytes]:
    env = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed}
    command = [sys.executable, "-m", "wiregen", "draw", "d.yaml", "-o", f"out{seed}"]
    done = subprocess.run(command, cwd=folder, env=env, capture_output=True, check=False)
    assert done.returncode in (0, 1), done.stderr
    return {path.name: path.read_bytes() for path in sorted((folder / f"out{seed}").iterdir())}


def test_same_bytes_under_any_hash_seed_and_in_any_order_of_the_file(tmp_path):
    text = (ROOT / "designs" / "tractor.yaml").read_text(encoding="utf-8")
    tree = yaml.load(text, yaml.BaseLoader)
    tree.pop("accepted", None)
    results = []
    for seed in ("1", "2"):
        folder = tmp_path / seed
        folder.mkdir()
        mixed = shuffled(tree, random.Random(int(seed)))
        (folder / "d.yaml").write_text(
            yaml.dump(mixed, Dumper=Plain, sort_keys=False), encoding="utf-8"
        )
        results.append(drawn_with(seed, folder))
    assert list(results[0]) == list(results[1])
    differing = [name for name in results[0] if results[0][name] != results[1][name]]
    assert differing == []
