"""The title block of a design's sheets."""

from __future__ import annotations

from wiregen.model import Design
from wiregen.sheet.frame import Revision, TitleBlock


def title_block(design: Design) -> TitleBlock:
    """Return what the file says for the title block; a design without a title shows its name."""
    said = design.title_block
    return TitleBlock(
        title=said.title or design.name,
        number=said.number,
        revision=said.revision,
        date=said.date,
        by=said.by,
        state=said.drawn_state,
        revisions=tuple(Revision(r.revision, r.date, r.what) for r in said.revisions),
    )
