"""Columns of the overview map chosen by Graphviz's `dot`, where it is installed."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterable, Mapping

TIME_LIMIT_S = 10.0


def dot_columns(places: Iterable[str], lines: Mapping[tuple[str, str], int]) -> dict[str, int]:
    """Return place -> column counted from the left, as `dot` ranks them.

    Args:
        places: ids in the order they are to be given to `dot`.
        lines: (left place, right place) -> number of wires, the weight of the line.

    Returns:
        The column of every place; empty where `dot` is not installed, fails, or takes longer
        than `TIME_LIMIT_S`, so that the own engine chooses.

    Example:
        >>> dot_columns([], {})
        {}
    """
    program = shutil.which("dot")
    names = list(places)
    if program is None or not names:
        return {}
    try:
        done = subprocess.run(
            [program, "-Tplain"],
            input=_source(names, lines).encode(),
            capture_output=True,
            timeout=TIME_LIMIT_S,
            check=True,
        )
    except (OSError, subprocess.SubprocessError):
        return {}
    return _columns(names, done.stdout.decode())


def _source(names: list[str], lines: Mapping[tuple[str, str], int]) -> str:
    """Return the map in the language of `dot`; places go by number, so no name needs quoting."""
    from graphviz import Digraph

    number = {name: str(index) for index, name in enumerate(names)}
    graph = Digraph(graph_attr={"rankdir": "LR"}, node_attr={"shape": "box"})
    for name in names:
        graph.node(number[name])
    for (left, right), wires in lines.items():
        graph.edge(number[left], number[right], weight=str(wires))
    return str(graph.source)


def _columns(names: list[str], answer: str) -> dict[str, int]:
    """Read `node NUMBER X Y ...` lines; places that share an X share a column."""
    across: dict[str, float] = {}
    for line in answer.splitlines():
        words = line.split()
        if words[:1] == ["node"]:
            across[names[int(words[1])]] = float(words[2])
    column = {x: index for index, x in enumerate(sorted(set(across.values())))}
    return {name: column[x] for name, x in across.items()}
