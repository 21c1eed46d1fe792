"""What the YAML parser complains about, in words of the bench."""

from __future__ import annotations

import re
from typing import Any

from wiregen.problems import Problem
from wiregen.read import codes
from wiregen.source import Span

_REMARK = re.compile(r"[:,\[{] +#")
_UNFINISHED = re.compile(r"node content|expected ','")
_MERGE = re.compile(r"^<{7}(?: .*)?$", re.MULTILINE)
_BRACKETS = {"sequence": "]", "mapping": "}"}


def yaml_error(error: Any, text: str, file: str) -> Problem:
    """Return the parser's error as a problem at the place to look at.

    Args:
        error: a `yaml.MarkedYAMLError` of either parser.
        text: the whole document.
        file: name for the span.
    """
    mark = error.problem_mark or error.context_mark
    lines = text.split("\n")
    merge = _MERGE.search(text)
    if merge:
        said = "two versions of a merge stand here; keep what holds and delete the lines of marks"
        before = text.count("\n", 0, merge.start())
        return Problem(codes.YAML, "error", said, Span(file, before + 1, 1, len(merge[0])))
    line, column = (mark.line, mark.column) if mark else (0, 0)
    start = error.context_mark
    remark = _REMARK.search(_line(lines, line - 1))
    if remark and _UNFINISHED.search(error.problem or ""):
        said = "a '#' after a space begins a remark, and the value before it is missing; quote it"
        return Problem(codes.YAML, "error", said, Span(file, line, remark.end(), 1))
    said, at_start = _say(error.context or "", error.problem or "", lines, (line, column), start)
    if at_start and start is not None:
        line, column = start.line, start.column
    if line >= len(lines):
        line, column = len(lines) - 1, len(lines[-1])
    code = codes.DEPTH if "nesting" in (error.problem or "") else codes.YAML
    return Problem(code, "error", said, Span(file, line + 1, column + 1, 1))


def _say(
    context: str, problem: str, lines: list[str], at: tuple[int, int], start: Any
) -> tuple[str, bool]:
    """Return the message, and whether it belongs to the start of the unfinished thing."""
    here, before = _line(lines, at[0]), _line(lines, at[0] - 1)
    flow = re.search(r"flow (sequence|mapping)", context)
    if flow and ("expected ','" in problem or "unexpected ':'" in problem):
        bracket = _BRACKETS[flow[1]]
        opened = f"opened on line {start.line + 1}, column {start.column + 1}" if start else ""
        said = f"a comma or the closing '{bracket}' is missing before this place ({opened})"
        return said, False
    if "unexpected end of stream" in problem or "document indicator" in problem:
        return "the quote opened here is never closed", True
    if "unexpected ':'" in problem:
        return "a value is missing after ':'; a text that ends with ':' goes in quotes", False
    if "mapping values are not allowed" in problem:
        return _colon(here, before, at[1]), False
    if "could not find expected ':'" in problem:
        return "a ':' is missing after this word", True
    if "nesting" in problem:
        return "brackets nested too deep; one of them was never closed", False
    if "tab" in problem or "'\\t'" in problem:
        return "a tab in the indentation; use spaces", False
    if "cannot start any token" in problem:
        found = here[at[1] : at[1] + 1]
        return f"a text that begins with '{found}' must be in quotes", False
    if "mapping keys are not allowed" in problem:
        return "a '?' with a space behind it must be in quotes", False
    if "sequence entries are not allowed" in problem:
        return "a list with '- ' must begin on its own line, indented under its key", False
    return _less_common(context, problem), False


def _line(lines: list[str], line: int) -> str:
    return lines[line] if 0 <= line < len(lines) else ""


def _colon(line: str, before: str, column: int) -> str:
    glued = re.match(r"\s*([A-Za-z_]+):\S", line) or re.match(r"\s*([A-Za-z_]+):\S+\s*$", before)
    if glued:
        return f"a space is missing after '{glued[1]}:'"
    if line[:column].count(": "):
        return "a second ':' in one line; put a text that holds ': ' in quotes"
    return "unexpected ':' here; the line before it needs a ':' and a value, or is indented wrongly"


def _less_common(context: str, problem: str) -> str:
    if "block mapping" in context:
        return "this line does not fit the keys above it: wrong indentation, or a stray character"
    if "block collection" in context:
        return "a list item must begin with '- ' at the same indentation as those above"
    if "escape" in problem or "hex" in problem:
        return "unknown '\\' mark inside double quotes; use single quotes"
    if "anchor" in context or "alias" in context:
        return "a text that begins with '&' or '*' must be in quotes"
    if "tag" in context or "tag" in problem:
        return "a text that begins with '!' must be in quotes"
    if "<document start>" in problem:
        return "text after the end of the document ('...'); one file holds one design"
    if "directive" in context or "YAML document" in problem:
        return "a line that begins with '%' is not used in a design file"
    if "node content" in problem:
        return "a value is missing here, or a stray bracket or comma stands in its place"
    if "block scalar" in context:
        return "after '|' or '>' the text begins on the next line, indented with spaces"
    return f"not readable as YAML: {problem}"
