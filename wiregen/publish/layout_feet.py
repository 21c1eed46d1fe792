"""The findings of a sheet, and the face sheets, in the file that keeps a layout.

The foot: the y of its rule, columns and rows of its findings. A finding: its number, and how many
steps its ring stands to the right of its object and below it. A face: its paper, what stands on a
page, pictures side by side and how much they are enlarged; how closely pictures and table are set,
and where they begin; scale and room of each picture; the columns of the table, and the rows that
have several lines.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from wiregen.layout.face_fit import WAYS
from wiregen.layout.finding_numbers import Key
from wiregen.layout.kept import FaceBox, KeptFace, KeptFoot
from wiregen.layout.pin_table import ALL_DENSITIES, TITLES
from wiregen.model.order import in_order
from wiregen.publish.layout_words import Words, line, number_text, optional
from wiregen.read.yaml_tree import Map
from wiregen.sheet.frame import PAPERS, Cells, FootPlace

_SEVERAL = re.compile(r"(.*) \(([0-9]{1,4})\)\Z", re.DOTALL)
_COLUMNS = {title.lower().replace(" ", "-"): title for title in TITLES}
_FAR_STEPS = 1000
_MOST_CELLS = 99


def foot_lines(foot: KeptFoot, indent: str) -> Iterator[str]:
    """Yield the lines of a foot.

    Args:
        foot: as it stood.
        indent: of its lines.
    """
    cells = foot.place.cells
    words = (number_text(foot.place.top), str(cells.columns), str(cells.rows))
    yield line("foot", " ".join(words), indent)
    if foot.numbers:
        yield f"{indent}findings:"
        known = {_key_text(key): key for key in foot.numbers}
        for text in in_order(known):
            key = known[text]
            numbers = (foot.numbers[key], *foot.steps.get(key, ()))
            yield line(text, " ".join(map(str, numbers)), f"{indent}  ")


def foot_of(tree: Map, name: str) -> KeptFoot | None:
    """Return the foot of a sheet; None where the file says nothing of it.

    Args:
        tree: of the sheet.
        name: of the file, for the places in messages.

    Raises:
        Unreadable: a line is none of a foot.
    """
    if "foot" not in tree:
        return None
    words = Words.of(tree, "foot", name)
    place = FootPlace(words.number(0), Cells(words.whole(3, least=1), words.whole(_MOST_CELLS)))
    findings = optional(tree, "findings", name)
    numbers, steps = {}, {}
    for text in findings:
        words = Words.of(findings, text, name)
        key = _key(text)
        numbers[key] = words.whole(_MOST_CELLS, least=1)
        if words.left:
            across, down = (words.whole(_FAR_STEPS, least=-_FAR_STEPS) for _ in range(2))
            steps[key] = (across, down)
    return KeptFoot(place, numbers, steps)


def _key_text(key: Key) -> str:
    """Return how the file names a finding.

    Example:
        >>> _key_text(("COL104", "W5", 1)), _key_text(("COL104", "W5 W6", 2))
        ('COL104 W5', 'COL104 W5 W6 (2)')
    """
    code, subject, place = key
    plain = place == 1 and not _SEVERAL.match(subject)
    return f"{code} {subject}" if plain else f"{code} {subject} ({place})"


def _key(text: str) -> Key:
    """Return the finding a name in the file stands for.

    Example:
        >>> _key("COL104 W5"), _key("COL104 W5 W6 (2)")
        (('COL104', 'W5', 1), ('COL104', 'W5 W6', 2))
    """
    code, _, subject = text.partition(" ")
    several = _SEVERAL.match(subject)
    return (code, several[1], int(several[2])) if several else (code, subject, 1)


def face_lines(face: KeptFace, indent: str) -> Iterator[str]:
    """Yield the lines of the face of a plug.

    Args:
        face: as it stood.
        indent: of its lines.
    """
    page = (face.paper, face.kind, str(face.columns), number_text(face.grown))
    yield line("page", " ".join(page), indent)
    places = (number_text(face.top), number_text(face.table))
    yield line("set", " ".join((str(face.way), str(face.density), *places)), indent)
    for name, box in zip(("face", "mate"), face.boxes, strict=False):
        room = (box.scale, box.half_width, box.above, box.below, box.aside)
        yield line(name, " ".join(map(number_text, room)), indent)
    words = {title: word for word, title in _COLUMNS.items()}
    widths = (f"{words[title]} {number_text(wide)}" for title, wide in face.widths.items())
    yield line("columns", " ".join(widths), indent)
    if face.lines:
        yield f"{indent}lines:"
        for cavity in in_order(face.lines):
            yield line(cavity, str(face.lines[cavity]), f"{indent}  ")
    yield from foot_lines(face.foot, indent)


def face_of(tree: Map, name: str) -> KeptFace:
    """Return the face of a plug.

    Args:
        tree: of the plug.
        name: of the file, for the places in messages.

    Raises:
        Unreadable: a line is none of a face.
    """
    page, placed = Words.of(tree, "page", name), Words.of(tree, "set", name)
    columns = Words.of(tree, "columns", name)
    boxes = [_box(Words.of(tree, key, name)) for key in ("face", "mate") if key in tree]
    lines = optional(tree, "lines", name)
    widths = {}
    while columns.left:
        title = _COLUMNS[columns.one_of(tuple(_COLUMNS))]
        widths[title] = columns.number(0)
    foot = foot_of(tree, name)
    return KeptFace(
        page.one_of([paper.name for paper in PAPERS]),
        page.one_of(("whole", "shared", "together", "apart")),
        page.whole(3, least=1),
        page.number(0.01, 10.0),
        placed.whole(len(WAYS)),
        placed.whole(len(ALL_DENSITIES) - 1),
        placed.number(0),
        placed.number(0),
        tuple(boxes),
        widths,
        {cavity: Words.of(lines, cavity, name).whole(_MOST_CELLS, least=1) for cavity in lines},
        foot or KeptFoot(FootPlace(0.0, Cells(1, 0)), {}, {}),
    )


def _box(words: Words) -> FaceBox:
    return FaceBox(*(words.number(0) for _ in range(5)))
