"""Small designs for the tests of compare, adapt and re-pin."""

from wiregen.intake.half import read_half, told_apart
from wiregen.intake.match import match


def side(folder, name, text, plug="X1"):
    """Write a design and return one of its plugs as a side."""
    path = folder / name
    path.write_text(f"format: 1\n{text}", encoding="utf-8")
    return read_half(f"{path}:{plug}")


def plug(pins, head=""):
    """Return the text of a plug X1 with one line a pin; `pins` maps cavities to words or YAML."""
    lines = ["plugs:", f"  X1: {{{head}pins: {{"]
    for cavity, said in pins.items():
        value = said if said.startswith("{") or said == "empty" else f'{{carries: "{said}"}}'
        lines.append(f"    {cavity}: {value},")
    return "\n".join([*lines, "  }}"]) + "\n"


def outcome(start, end):
    """Return the matching as (pairs of cavities, asked cavities of the end, rest of the end)."""
    found = match(*told_apart(start, end))
    pairs = {one.end.cavity: one.start.cavity for one in found.matches}
    asked = {contact.cavity for one in found.questions for contact in one.ends}
    return pairs, asked, {contact.cavity for contact in found.left_end}
