"""Files brought in with `include`: same folder tree only, no circles, each id once."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiregen.problems import Unreadable
from wiregen.read import Loaded, load


def written(folder: Path, **files: str) -> None:
    for name, text in files.items():
        path = folder / f"{name.replace('__', '/')}.yaml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")


def read(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Loaded:
    monkeypatch.chdir(folder)
    return load("main.yaml")


def refusals(folder: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    with pytest.raises(Unreadable) as caught:
        read(folder, monkeypatch)
    return [f"{p.span} {p.code} {p.message}" for p in caught.value.problems]


def test_sections_of_all_files_come_together(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written(
        tmp_path,
        main="format: 1\ninclude: [lib/plugs.yaml]\nwires: {W1: {from: X1:1, to: X2:1}}\n"
        "accepted: [{rule: CAV101, object: X1, why: a}]\n",
        lib__plugs="format: 1\ninclude: more.yaml\nplugs: {X10: {}, X2: {}}\n"
        "accepted: [{rule: CAV102, object: X2, why: b}]\n",
        lib__more="format: 1\nplugs: {X1: {title: From more}}\n",
    )
    design = read(tmp_path, monkeypatch).design
    assert list(design.plugs) == ["X1", "X2", "X10"]
    assert design.plugs["X1"].origin.at("title").file == "lib/more.yaml"
    assert [waiver.rule for waiver in design.waivers] == ["CAV101", "CAV102"]
    assert list(design.sources) == ["main.yaml", "lib/plugs.yaml", "lib/more.yaml"]


def test_a_file_brought_in_twice_is_read_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written(
        tmp_path,
        main="format: 1\ninclude: [a.yaml, b.yaml, ./a.yaml]\n",
        a="format: 1\nplugs: {X1: {}}\n",
        b="format: 1\ninclude: [a.yaml]\n",
    )
    loaded = read(tmp_path, monkeypatch)
    assert (list(loaded.design.plugs), loaded.problems) == (["X1"], ())


def test_an_id_in_two_files_is_a_finding_with_both_places(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written(
        tmp_path,
        main="format: 1\ninclude: [a.yaml]\nplugs: {X1: {title: First}}\n",
        a="format: 1\nplugs:\n  X1: {title: Second}\nwires: {X1: {}}\n",
    )
    loaded = read(tmp_path, monkeypatch)
    assert loaded.design.plugs["X1"].title == "First"
    assert loaded.design.wires == {}
    assert [(p.code, str(p.span), p.message) for p in loaded.problems] == [
        ("REF101", "a.yaml:3:3", "plug 'X1' is there twice"),
        ("REF101", "a.yaml:4:9", "'X1' is used twice: for a wire here, for a plug before"),
    ]
    assert [str(p.notes[0].span) for p in loaded.problems] == ["main.yaml:3:9", "main.yaml:3:9"]
    assert loaded.problems[0].subjects == ("X1",)


@pytest.mark.parametrize(
    ("written_path", "said"),
    [
        ("none.yaml", "there is no such file"),
        (".", "this is a folder, not a design file"),
        ("''", "not a file name"),
        ("/etc/hostname", "write a path relative to this file, with '/' between folders"),
        ("C:/x.yaml", "write a path relative to this file, with '/' between folders"),
        (r"lib\x.yaml", "write a path relative to this file, with '/' between folders"),
        (
            "../outside.yaml",
            "outside the folder of the design; only files in it or below may be included",
        ),
        (
            "lib/../../outside.yaml",
            "outside the folder of the design; only files in it or below may be included",
        ),
        (
            "link.yaml",
            "outside the folder of the design; only files in it or below may be included",
        ),
        (
            "linked/outside.yaml",
            "outside the folder of the design; only files in it or below may be included",
        ),
        ("main.yaml", "the files include each other in a circle"),
    ],
)
def test_refused_paths(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, written_path: str, said: str
) -> None:
    folder = tmp_path / "design"
    written(folder, main=f"format: 1\ninclude:\n  - {written_path}\n")
    (folder / "lib").mkdir()
    written(tmp_path, outside="format: 1\n")
    (folder / "link.yaml").symlink_to(tmp_path / "outside.yaml")
    (folder / "linked").symlink_to(tmp_path)
    shown = written_path.strip("'")
    assert refusals(folder, monkeypatch) == [f"main.yaml:3:5 FMT114 '{shown}': {said}"]


def test_a_lower_file_may_reach_up_inside_the_tree(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written(
        tmp_path,
        main="format: 1\ninclude: [lib/a.yaml]\n",
        lib__a="format: 1\ninclude: [../common.yaml]\n",
        common="format: 1\nplugs: {X1: {}}\n",
    )
    design = read(tmp_path, monkeypatch).design
    assert design.plugs["X1"].origin.span.file == "common.yaml"


def test_circles_are_named_at_the_line_that_closes_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written(
        tmp_path,
        main="format: 1\ninclude: [a.yaml]\n",
        a="format: 1\ninclude: [b.yaml]\n",
        b="format: 1\ninclude: [a.yaml]\n",
    )
    assert refusals(tmp_path, monkeypatch) == [
        "b.yaml:2:11 FMT114 'a.yaml': the files include each other in a circle"
    ]


def test_depth_and_number_are_limited(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    chain = {f"f{n}": f"format: 1\ninclude: [f{n + 1}.yaml]\n" for n in range(12)}
    written(tmp_path, main="format: 1\ninclude: [f0.yaml]\n", f12="format: 1\n", **chain)
    assert refusals(tmp_path, monkeypatch) == [
        "f6.yaml:2:11 FMT114 'f7.yaml': includes are nested more than 8 deep"
    ]
    many = ", ".join(f"g{n}.yaml" for n in range(120))
    files = {f"g{n}": "format: 1\n" for n in range(120)}
    written(tmp_path, main=f"format: 1\ninclude: [{many}]\n", **files)
    assert refusals(tmp_path, monkeypatch)[0].endswith("'g99.yaml': more than 100 files in all")


def test_title_block_and_system_belong_in_the_main_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written(
        tmp_path,
        main="format: 1\ninclude: [a.yaml]\n",
        a="format: 1\nsystem: {volts: 24}\n",
    )
    assert refusals(tmp_path, monkeypatch) == [
        "a.yaml:2:1 FMT114 'system' belongs in the main file only"
    ]


def test_faults_of_all_files_come_at_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written(
        tmp_path,
        main="format: 1\ninclude: [a.yaml, b.yaml]\nplugs: {X1: {colr: 1}}\n",
        a="a: [1\n",
        b="format: 1\nwires: {W1: {gauge: 1}}\n",
    )
    assert [line.split(" ")[0] for line in refusals(tmp_path, monkeypatch)] == [
        "main.yaml:3:14",
        "a.yaml:2:1",
        "b.yaml:2:14",
    ]


def test_colours_follow_the_key_of_their_own_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written(
        tmp_path,
        main="format: 1\ncolour_key: german\ninclude: [a.yaml]\n"
        "wires: {W1: {from: J1, to: J2, colour: SW}}\n",
        a="format: 1\nwires: {W2: {from: J1, to: J2, colour: BK}}\n",
    )
    loaded = read(tmp_path, monkeypatch)
    assert loaded.problems == ()
    assert {wire.colour.iec for wire in loaded.design.wires.values() if wire.colour} == {"BK"}
