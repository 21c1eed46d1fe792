"""The table of what is lost with each earth, fuse, plug and new wire."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from wiregen.compute.lost import Effect, Loss, losses_of
from wiregen.compute.numbers import CAUTION, rounded, shown
from wiregen.compute.render_states import footer
from wiregen.compute.study import Study

_ORDER = ("dead", "dim", "reversed", "comes on", "drops out", "pulls in")


def lost_text(study: Study) -> str:
    """Return one line for each thing lost and each state it matters in."""
    lines: list[str] = []
    last = ("", "")
    for loss in losses_of(study):
        if (loss.kind, loss.object) != last:
            title = _title(study, loss)
            lines.append(f"{loss.kind} {loss.object}{f' ({title})' if title else ''} lost")
            last = (loss.kind, loss.object)
        lines.append(f"  {loss.state}: {'; '.join(_words(loss))}")
    lines += ["" if lines else "nothing carries current in any state", *footer(study)]
    return "\n".join(lines) + "\n"


def lost_data(study: Study) -> dict[str, object]:
    """Return the same as data."""
    return {
        "lost": [
            {
                "kind": loss.kind,
                "object": loss.object,
                "state": loss.state,
                "outcome": loss.outcome,
                "effects": [_effect(one) for one in loss.effects],
            }
            for loss in losses_of(study)
        ],
        "caution": CAUTION,
    }


def _effect(one: Effect) -> dict[str, object]:
    volts = None if one.volts_v is None else rounded(one.volts_v)
    return {"load": one.load, "word": one.word, "volts": volts}


def _title(study: Study, loss: Loss) -> str:
    design = study.design
    for section in (design.earths, design.fuses, design.plugs):
        if loss.object in section:
            return str(getattr(section[loss.object], "title", ""))
    return ""


def _words(loss: Loss) -> Iterator[str]:
    if loss.outcome:
        yield loss.outcome
    for word in _ORDER:
        found = [e for e in loss.effects if e.word == word]
        if found:
            yield f"{word}: {', '.join(_listed(word, found))}"


def _listed(word: str, effects: Iterable[Effect]) -> Iterator[str]:
    for one in effects:
        plain = word in ("dead", "drops out", "pulls in") or one.volts_v is None
        yield one.load if plain else f"{one.load} ({shown(one.volts_v or 0.0, 1)} V)"
