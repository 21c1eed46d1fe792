"""Judge a design: every rule of the catalogue, waivers, and what could not be checked.

The formats of the output and the explanations are in modules of their own (`render_text`,
`render_json`, `render_github`, `render_sarif`, `explain`), loaded where they are used.
"""

from wiregen.check.catalogue import RULES
from wiregen.check.engine import run_rules
from wiregen.check.report import NotChecked, Report
from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.connect import Network
from wiregen.read import Loaded

__all__ = [
    "RULES",
    "Found",
    "Missing",
    "NotChecked",
    "Report",
    "Rule",
    "Scene",
    "check",
]


def check(loaded: Loaded, network: Network | None = None) -> Report:
    """Apply every rule to a design.

    Args:
        loaded: from `wiregen.read.load`.
        network: from `connect`, where it is there already.

    Returns:
        Findings most dangerous first, accepted findings, and what could not be checked.
    """
    return run_rules(loaded, RULES, network)
