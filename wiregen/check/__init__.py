"""Judge a design: every rule of the catalogue, waivers, and what could not be checked."""

from wiregen.check.catalogue import RULES
from wiregen.check.engine import run_rules
from wiregen.check.explain import Texts, UnknownCode, all_texts, explain, texts_of
from wiregen.check.render_github import render_github
from wiregen.check.render_json import render_json
from wiregen.check.render_sarif import render_sarif
from wiregen.check.render_text import render_text, summary
from wiregen.check.report import NotChecked, Report
from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.read import Loaded

__all__ = [
    "RULES",
    "Found",
    "Missing",
    "NotChecked",
    "Report",
    "Rule",
    "Scene",
    "Texts",
    "UnknownCode",
    "all_texts",
    "check",
    "explain",
    "render_github",
    "render_json",
    "render_sarif",
    "render_text",
    "summary",
    "texts_of",
]


def check(loaded: Loaded) -> Report:
    """Apply every rule to a design.

    Args:
        loaded: from `wiregen.read.load`.

    Returns:
        Findings most dangerous first, accepted findings, and what could not be checked.
    """
    return run_rules(loaded, RULES)
