"""What a check hands back: findings, accepted findings, and what could not be checked."""

from __future__ import annotations

from dataclasses import dataclass

from wiregen.model import Waiver
from wiregen.problems import Problem


@dataclass(frozen=True, slots=True)
class NotChecked:
    """A rule that could not be applied to some objects for want of a fact.

    Attributes:
        code: rule code.
        needs: the fact that would unlock it, in words (`size of the wire`).
        objects: ids or pins it could not be applied to, natural order; empty when it is the whole
            design.
    """

    code: str
    needs: str
    objects: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Report:
    """The result of checking one design.

    Attributes:
        findings: most dangerous first, then in order of the file.
        waived: findings the design accepts, each with the waiver that gives the reason.
        not_checked: what could not be judged and which fact would unlock it.
        skipped: codes of rules that did not run because the structure has errors.
    """

    findings: tuple[Problem, ...] = ()
    waived: tuple[tuple[Problem, Waiver], ...] = ()
    not_checked: tuple[NotChecked, ...] = ()
    skipped: tuple[str, ...] = ()

    @property
    def errors(self) -> int:
        """Number of findings of severity error."""
        return sum(1 for problem in self.findings if problem.severity == "error")
