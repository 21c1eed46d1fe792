"""Whether a fuse opens before its wire gets too hot: times against times, both estimates."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from wiregen.compute.heat import OVERLOAD_K, SHORT_C, Heated, degrees, seconds_to, temperature_c
from wiregen.facts.fuse_curves import NEVER_OPENS_SHARE, gates, opens_at_most

_SHARES = (1.35, 1.42, 1.5, 1.6, 1.8, 2.0, 2.5, 3.0, 3.5, 4.5, 6.0)
_SHORT_FROM = 3.5


@dataclass(frozen=True, slots=True)
class Gap:
    """A current the wire does not stand until the fuse opens.

    Attributes:
        amps_a: the current.
        limit_c: what the wire may reach.
        reaches_c: what it gets to in the long run, for the current a fuse may never open at.
        wire_s: time until the wire is at its limit; None in the long run.
        fuse_s: latest opening time; None when it may never open.
    """

    amps_a: float
    limit_c: float
    reaches_c: float | None
    wire_s: float | None
    fuse_s: float | None

    @property
    def short(self) -> str:
        """The gap in a few words."""
        if self.reaches_c is not None:
            return f"{degrees(self.reaches_c)} at {self.amps_a:.3g} A"
        return f"{self.limit_c:.0f} degC after about {self.wire_s:.0f} s at {self.amps_a:.3g} A"

    @property
    def words(self) -> str:
        """The gap in words, with the model named."""
        if self.reaches_c is not None:
            return (
                f"at {self.amps_a:.3g} A the fuse may stay whole for ever, and the wire gets to "
                f"{degrees(self.reaches_c)}, limit {self.limit_c:.0f} degC (heat model)"
            )
        return (
            f"at {self.amps_a:.3g} A the fuse may take {self.fuse_s:.3g} s, and the wire is at "
            f"{self.limit_c:.0f} degC after about {self.wire_s:.3g} s (heat model)"
        )


@cache
def find_gap(style: str, rating_a: float, wire: Heated, class_c: float) -> Gap | None:
    """Return the first current at which a wire is too hot before its fuse opens.

    Args:
        style: of the fuse.
        rating_a: its rating.
        wire: with its surroundings.
        class_c: continuous temperature of its insulation. For a while it may get 50 K hotter; at a
            short circuit it may reach 160 degC.

    Returns:
        The gap; None when there is none, or when no opening times are known for the style and the
        steady temperature at 1.35 times the rating is within the limit.
    """
    limit = class_c + OVERLOAD_K
    steady_a = NEVER_OPENS_SHARE * rating_a
    reached = temperature_c(wire, steady_a)
    if reached > limit:
        return Gap(steady_a, limit, reached, None, None)
    if not gates(style, rating_a):
        return None
    for share in _SHARES:
        allowed = max(limit, SHORT_C) if share >= _SHORT_FROM else limit
        slow = opens_at_most(style, rating_a, share * rating_a)
        hot = seconds_to(wire, share * rating_a, allowed)
        if slow is not None and hot is not None and hot < slow:
            return Gap(share * rating_a, allowed, None, hot, slow)
    return None
