"""Any two designs can be reviewed, whatever is wrong with them, with the same words each time."""

from __future__ import annotations

import json

from hypothesis import HealthCheck, given, settings

from tests.history.samples import document
from tests.strategies import design_text, designs
from wiregen.history.render import render_json, render_markdown, render_text
from wiregen.history.review import review


@settings(
    max_examples=20, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
@given(designs(bad_ends=True), designs(bad_ends=True))
def test_two_random_designs(one, other):
    old, new = document(design_text(one)), document(design_text(other))
    found = review(old, new)
    for render in (render_text, render_markdown, render_json):
        text = render(found, "a", "b")
        assert text.endswith("\n")
        assert text == render(review(old, new), "a", "b")
    changes = json.loads(render_json(found, "a", "b"))["changes"]
    assert len(changes) == len(found.difference.changes)
