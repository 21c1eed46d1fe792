"""The commands `compare` and `adapt`: two plugs held together."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

import typer

from wiregen.check.render_text import plain, summary
from wiregen.cli.judged import judge, refused
from wiregen.cli.words import complain
from wiregen.intake.half import Half, HalfError, read_half, told_apart
from wiregen.problems import Unreadable
from wiregen.publish import CannotWrite, write_files


def compare_plugs(first: str, second: str) -> int:
    """Print two plugs side by side; return 1 when something would go wrong between them."""
    from wiregen.intake.compare import compare, comparison_lines

    halves = _halves(first, second)
    if isinstance(halves, int):
        return halves
    start, end = halves
    for half in halves:
        if len(half.plugs) > 1:
            return complain(f"{half.name}: compare takes one plug a side")
    found = compare(start, end)
    _print(comparison_lines(found, start.label, end.label))
    return 0 if found.harmless else 1


def adapt_plugs(first: str, second: str, output: Path | None, kind: str | None) -> int:
    """Draft an adapter loom, or list the moves of a re-pin; return the exit code.

    Args:
        first: the side that stays.
        second: the side that is fitted.
        output: file to write; `adapter.yaml` for a loom when None, none for a re-pin.
        kind: `loom` or `re-pin`; a re-pin for two plugs of one housing when None.
    """
    from wiregen.intake.re_pin import same_housing

    halves = _halves(first, second)
    if isinstance(halves, int):
        return halves
    start, end = told_apart(*halves)
    for half, told in zip(halves, (start, end), strict=True):
        for new, old in told.own_ids.items():
            of = f"{old} of {half.label}" if half.design else old
            typer.echo(plain(f"{of} is called {new} here"))
    if kind is None:
        kind = "re-pin" if same_housing(start, end) else "loom"
    if kind == "re-pin":
        if len(start.plugs) > 1 or len(end.plugs) > 1:
            return complain("a re-pin takes one plug a side")
        return _re_pin(start, end, output)
    return _loom(start, end, output or Path("adapter.yaml"))


def _loom(start: Half, end: Half, output: Path) -> int:
    from wiregen.intake.adapter import draft_adapter
    from wiregen.intake.adapter_text import adapter_lines, adapter_text
    from wiregen.intake.match import match

    if output.exists():
        return complain(f"{output} exists already; name another file with -o")
    adapter = draft_adapter(start, end, match(start, end))
    _print(adapter_lines(adapter))
    code = _write(output, adapter_text(adapter, start.label, end.label))
    if code == 0:
        judged = judge(output)
        typer.echo(plain(f"{output} written: {summary(judged.report)}"))
        typer.echo(plain(f"next: wiregen check {output}; wiregen draw {output}"))
    return code


def _re_pin(start: Half, end: Half, output: Path | None) -> int:
    from wiregen.intake.match import match
    from wiregen.intake.re_pin import plan_re_pin, re_pin_lines
    from wiregen.intake.re_pinned import re_pinned_text

    if output is not None and output.exists():
        return complain(f"{output} exists already; name another file with -o")
    plan = plan_re_pin(start, end, match(start, end))
    lines = re_pin_lines(plan, start.label, end.label)
    _print(lines)
    if output is None:
        return 0
    as_design = output.suffix in (".yaml", ".yml")
    if as_design and start.design is None:
        return complain("a standard allocation has no file; write the list with -o LIST.txt")
    text = re_pinned_text(start, plan) if as_design else "\n".join(map(plain, lines)) + "\n"
    code = _write(output, text)
    if code == 0:
        typer.echo(plain(f"{output} written"))
    return code


def _write(output: Path, text: str) -> int:
    try:
        write_files(output.parent, {output.name: text.encode()})
    except CannotWrite as error:
        return complain(str(error))
    return 0


def _halves(first: str, second: str) -> tuple[Half, Half] | int:
    found = []
    for name in (first, second):
        try:
            found.append(read_half(name))
        except HalfError as error:
            return complain(str(error))
        except Unreadable as error:
            return refused(error, Path(name.rpartition(":")[0] or name))
    return found[0], found[1]


def _print(lines: Iterable[str]) -> None:
    for line in lines:
        typer.echo(plain(line))
