"""A design is drawn with the same bytes under any hash seed and in any order of the YAML."""

from __future__ import annotations

import os
import random
import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import Phase, given, seed, settings

from tests.layout.vehicles import vehicle
from tests.strategies import design_text, designs

ROOT = Path(__file__).resolve().parents[2]
SECTIONS = (
    "plugs",
    "splices",
    "fuses",
    "earths",
    "devices",
    "wires",
    "groups",
    "looms",
    "contacts",
)


def shuffled(text: str, number: int) -> str:
    """Return a design with its sections, and the objects in them, in another order."""
    draw = random.Random(number)
    blocks = [block for block in re.split(r"^(?=\w)", text, flags=re.M) if block]
    out = []
    for block in blocks:
        head, *lines = block.splitlines(keepends=True)
        objects = re.split(r"^(?=  [\w\"])", "".join(lines), flags=re.M)
        if head.split(":")[0] in SECTIONS and not any("#" in line for line in lines):
            draw.shuffle(objects)
        out.append(head + "".join(objects))
    first, *rest = out
    draw.shuffle(rest)
    return first + "".join(rest)


def drawn(path: Path, text: str, hash_seed: str) -> dict[str, bytes]:
    """Draw a design with the command and return its files."""
    path.mkdir()
    (path / "made.yaml").write_text(text, encoding="utf-8")
    command = [sys.executable, "-m", "wiregen", "draw", "made.yaml", "-o", "drawn"]
    environment = {**os.environ, "PYTHONHASHSEED": hash_seed}
    result = subprocess.run(
        command, cwd=path, env=environment, capture_output=True, text=True, check=False
    )
    assert result.returncode in (0, 1), result.stderr
    return {file.name: file.read_bytes() for file in sorted((path / "drawn").iterdir())}


def random_texts(count: int) -> list[str]:
    """Return the texts of some random designs, the same on every run."""
    texts: list[str] = []

    @seed(5)
    @settings(max_examples=4 * count, database=None, deadline=None, phases=[Phase.generate])
    @given(designs())
    def collect(made):
        if len(made["wires"]) >= 8:
            texts.append(design_text(made))

    collect()
    return texts[-count:]


DESIGNS = {
    "tractor": (ROOT / "designs" / "tractor.yaml").read_text(encoding="utf-8"),
    "vehicle": vehicle(90, seed=3),
} | {f"random {n}": text for n, text in enumerate(random_texts(5), start=1)}


@pytest.mark.parametrize("name", DESIGNS)
def test_the_same_files_under_any_hash_seed_and_order(tmp_path, name):
    text = DESIGNS[name]
    other = shuffled(text, 1)
    assert other != text
    first = drawn(tmp_path / "a", text, "0")
    assert {Path(file).suffix for file in first} == {".svg", ".pdf"}
    again = drawn(tmp_path / "b", other, "1"), drawn(tmp_path / "c", shuffled(text, 2), "77")
    for files in again:
        assert [file for file in first if first[file] != files.get(file)] == []
        assert files.keys() == first.keys()
