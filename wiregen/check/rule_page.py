"""The page of all rules in Markdown, made from the texts of the catalogue."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.check.explain import Texts, all_texts

GROUPS = {
    "FMT": "The file",
    "REF": "References",
    "CAV": "Cavities",
    "CON": "Plug halves",
    "COL": "Colours",
    "WIR": "Wires",
    "OLD": "Old looms",
    "BLD": "Building",
    "NET": "Connectivity",
    "FUS": "Fuses",
    "CUR": "Currents",
    "VLT": "Voltage drop",
    "SIZ": "Sizes",
    "STA": "Operating states",
    "ETH": "Earths",
    "SIG": "Signals",
    "SAF": "Safety",
    "DOC": "Documents",
}


def rule_page() -> str:
    """Return every rule with its reason, its cure and its source, grouped, as Markdown."""
    return "\n".join(_lines()) + "\n"


def _lines() -> Iterator[str]:
    texts = all_texts()
    yield "# Rules of wiregen"
    yield ""
    yield f"{len(texts)} rules; this page is made by `wiregen list rules --full`."
    for group in dict.fromkeys(text.code[:3] for text in texts):
        yield ""
        yield f"## {GROUPS[group]}"
        for text in texts:
            if text.code[:3] == group:
                yield from _rule(text)


def _rule(text: Texts) -> Iterator[str]:
    yield ""
    yield f"### {text.code} {_plain(text.title)}"
    yield ""
    yield f"{text.severity.capitalize()}. {_plain(text.why)}"
    yield ""
    yield f"What to do: {_plain(text.fix)}"
    rest = (("Needs", text.needs), ("Source", text.source))
    yield from (line for name, said in rest if said for line in ("", f"{name}: {_plain(said)}"))


def _plain(text: str) -> str:
    """Keep marks of the text from being read as Markdown."""
    return text.replace("<", "&lt;").replace("*", "\\*").replace("_", "\\_")
