"""A wire on a sheet: casing, run and tracers in its colour, with its label and its names."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wiregen.sheet import style
from wiregen.sheet.items import Anchor, Group, Item, Path, Pen, Point, Text

VARIANT = "◇"
"""Marks what only some variants of a machine have."""


@dataclass(frozen=True, slots=True)
class LabelSpot:
    """Where a wire's label stands: base line point, mm."""

    x: float
    y: float
    anchor: Anchor = "start"
    upright: bool = False


def wire_group(
    wire: str,
    *,
    start: str,
    end: str,
    colour: str,
    size: str,
    runs: tuple[tuple[Point, ...], ...],
    labels: tuple[LabelSpot, ...] = (),
    fate: style.Fate = "new",
    title: str = "",
    mono: bool = False,
    only: str = "",
) -> Group:
    """Return the group of one wire as readers of the SVG know it.

    Args:
        wire: id of the wire, `W12`.
        start: its end `from`, as the file writes it.
        end: its end `to`, as the file writes it.
        colour: IEC form, `BU/WH`; empty when unknown.
        size: as the file writes it, `0.75`; empty when unknown.
        runs: level and upright strokes, each a line of corner points, mm.
        labels: where its label is printed.
        fate: `new` is strong, `existing` thin, `removed` dashed.
        title: tooltip; the label and both ends when empty.
        mono: ink patterns in place of colours.
        only: the mark of its variants, from `variant_words`.

    Returns:
        A group of class `wire` with id `wire-W12`.
    """
    words = " ".join(part for part in (wire, *label_words(colour, size)) if part)
    items: list[Item] = []
    for run in runs:
        items.extend(_strands(run, colour, fate, mono))
    items.extend(wire_label(wire, colour, size, spot, only) for spot in labels)
    return Group(
        tuple(items),
        cls="wire" if fate == "new" else f"wire {fate}",
        id=f"wire-{wire}",
        data=(
            ("wire", wire),
            ("from", start),
            ("to", end),
            ("colour", colour),
            ("size", size),
        ),
        title=title or f"{words}, {start} to {end}",
    )


def label_words(colour: str, size: str) -> tuple[str, str]:
    """Return size and colour as the label prints them; a missing one says so."""
    return size or "size?", colour or "no colour"


def variant_words(only: tuple[str, ...]) -> str:
    """Return the mark of what belongs to some variants only, empty for all.

    Example:
        >>> variant_words(("late", "automatic")), variant_words(())
        ('◇late, automatic', '')
    """
    return VARIANT + ", ".join(only) if only else ""


def wire_label(wire: str, colour: str, size: str, spot: LabelSpot, only: str = "") -> Text:
    """Return the label of a wire: its number bold, size and colour grey, then its variants."""
    return Text(
        spot.x,
        spot.y,
        (
            (wire, True, style.INK),
            (" " + " ".join(label_words(colour, size)), False, style.SECONDARY),
            *(((f" {only}", False, style.INK),) if only else ()),
        ),
        style.TEXT_WIRE,
        anchor=spot.anchor,
        upright=spot.upright,
        cls="wire-label",
    )


def sample(x: float, y: float, length: float, fate: style.Fate, mono: bool = False) -> Group:
    """Return a short wire without names for a legend, level from (x, y), mm."""
    run = ((x, y), (x + length, y))
    return Group(tuple(_strands(run, "BU/WH", fate, mono)), cls=f"sample {fate}")


def wire_width_mm(fate: style.Fate) -> float:
    """Return the printed width of a wire with its casing, mm."""
    if fate == "removed":
        return style.WIRE_REMOVED
    core = style.WIRE_NEW if fate == "new" else style.WIRE_EXISTING
    return core + 2 * style.CASING


def _strands(run: tuple[Point, ...], colour: str, fate: style.Fate, mono: bool) -> Iterator[Path]:
    """Casing, run and tracers of one run, back to front."""
    if fate == "removed":
        pen = Pen(style.SECONDARY, style.WIRE_REMOVED, dash=style.REMOVED_DASH)
        yield Path(run, pen, cls="run")
        return
    core = style.WIRE_NEW if fate == "new" else style.WIRE_EXISTING
    dash = () if style.is_known(colour) else style.UNKNOWN_DASH
    yield Path(run, Pen(style.INK, core + 2 * style.CASING, dash=dash), cls="casing")
    base, *tracers = style.paints(colour)
    if base == style.PAPER:
        core *= style.WHITE_SHARE
    if mono:
        yield from _mono_strands(run, colour, core)
        return
    yield Path(run, Pen(base, core), cls="run")
    for number, tracer in enumerate(tracers):
        width = core * style.TRACER_SHARE
        yield Path(run, Pen(tracer, width, dash=_tracer_dash(number, len(tracers))), cls="tracer")


def _tracer_dash(number: int, count: int) -> tuple[float, ...]:
    """Dashes of one tracer; of two tracers each takes its own place in the rhythm."""
    dash, gap = style.TRACER_DASH
    if count == 1:
        return (dash, gap)
    rest = dash + gap * 2
    return (dash, rest) if number == 0 else (0.0, dash + gap / 2, dash, gap * 1.5)


def _mono_strands(run: tuple[Point, ...], colour: str, core: float) -> Iterator[Path]:
    """White core with the ink dash of the base colour; the tracer as a fine line within."""
    yield Path(run, Pen(style.PAPER, core), cls="run")
    parts = style.colour_parts(colour)
    for number, part in enumerate(parts):
        dash = style.mono_dash(part)
        if number:
            yield Path(run, Pen(style.PAPER, core * style.TRACER_SHARE), cls="tracer")
        if dash is not None:
            width = core if number == 0 else core * style.TRACER_SHARE / 2
            yield Path(run, Pen(style.INK, width, dash=dash), cls="tracer" if number else "pattern")
