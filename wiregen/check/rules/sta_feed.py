"""States: circuits alive behind an open switch, current the wrong way, loads in series."""

from __future__ import annotations

from collections.abc import Iterator

from wiregen.check.rule import Found, Missing, Rule, Scene
from wiregen.check.rules.computed import (
    called,
    device_of,
    in_states,
    lacking,
    owners,
    place_of,
    solved,
)
from wiregen.compute.elements import Element
from wiregen.compute.numbers import amps, percent, shown
from wiregen.compute.sneak import Alive, BackFeed
from wiregen.compute.states import Point
from wiregen.problems import Note

_FAINT_SHARE = 0.10
_REVERSED_SHARE = 0.10
_FULL_SHARE = 0.90
_EITHER_WAY = ("lamp", "heater", "coil", "solenoid", "relay")
_NO_DIRECTION = ("resistor", "capacitor")


def back_feed(scene: Scene) -> Iterator[Found | Missing]:
    """A circuit is alive while its switch is open."""
    yield from lacking(scene)
    if not solved(scene):
        return
    alike: dict[tuple[str, tuple[str, ...]], list[BackFeed]] = {}
    for found in scene.study.back_feeds:
        alike.setdefault((found.source, found.through), []).append(found)
    for feeds in alike.values():
        yield _back_feed(scene, max(feeds, key=_weight), feeds)


def _weight(feed: BackFeed) -> tuple[bool, float]:
    return any(a.held for a in feed.alive), abs(feed.volts_v)


def _back_feed(scene: Scene, worst: BackFeed, feeds: list[BackFeed]) -> Found:
    switches = " and ".join(dict.fromkeys(name.partition(":")[0] for name in worst.switches))
    states = in_states(dict.fromkeys(feed.state for feed in feeds))
    alive = [_alive(scene, one) for one in worst.alive]
    gets = f"; {', '.join(alive)}" if alive else ""
    faint = all(a.share < _FAINT_SHARE and not a.held for a in worst.alive)
    subject = worst.switches[0].partition(":")[0]
    return Found(
        message=f"{worst.node} has {shown(worst.volts_v)} V {states} although {switches} is open, "
        f"fed by {worst.source}: {worst.path}{gets}",
        span=place_of(scene, subject),
        subjects=tuple(dict.fromkeys([subject, *worst.through, worst.source.partition(":")[0]])),
        notes=tuple(
            Note(f"{name} lies on the way", place_of(scene, name)) for name in _named(worst)
        ),
        help=_cure(scene, worst),
        severity="warning" if faint else None,
    )


def _named(feed: BackFeed) -> tuple[str, ...]:
    return tuple(name for name in feed.through if " " not in name)[:2]


def _alive(scene: Scene, one: Alive) -> str:
    share = f" ({percent(one.volts_v, one.volts_v / one.share)})" if one.share else ""
    held = ", stays pulled in" if one.held else ""
    return f"{called(scene, one.id)} gets {shown(one.volts_v)} V{share}{held}"


def _cure(scene: Scene, feed: BackFeed) -> str:
    """Return the usual cure and what it costs."""
    first = next((n for n in reversed(feed.through) if " " not in n), "")
    part = called(scene, first) if first else "the part on the way"
    cure = f"Fit a diode in the lead of {part}, so that current can only flow from the switch to it"
    device, _, terminal = feed.source.partition(":")
    source = scene.design.devices.get(device)
    if terminal and source is not None and source.kind == "alternator":
        return f"{cure}; side effect: failed alternator diodes no longer light it at key-off"
    if len(feed.through) > 1:
        return (
            f"Restore the earth or the feed whose loss sends the current through {part}; a diode "
            "in each feed stops it and costs about 0.7 V"
        )
    return f"{cure}; side effect: about 0.7 V less at the load"


def wrong_way(scene: Scene) -> Iterator[Found | Missing]:
    """Current runs through a load against its direction."""
    yield from lacking(scene)
    points = solved(scene)
    known = {name for feed in scene.study.back_feeds for name in feed.through} if points else set()
    seen: dict[str, list[tuple[float, str]]] = {}
    for element in scene.study.circuit.elements if points else ():
        device = device_of(scene, element)
        if element.part != "load" or device is None or device.bidirectional:
            continue
        if device.kind in _NO_DIRECTION and not element.one_way:
            continue
        sign = 1.0 if element.one_way else _usual(points, element)
        for point in points:
            volts = sign * point.across(element) if point.is_present(element) else 0.0
            rated = element.rated_v or 12.0
            held = any(point.floats(end) or point.is_loose(end) for end in (element.a, element.b))
            if volts < -_REVERSED_SHARE * rated and not held:
                seen.setdefault(element.id, []).append((volts, point.name))
    for name, hits in seen.items():
        volts, state = min(hits)
        device = device_of(scene, name)
        mild = device is not None and device.kind in _EITHER_WAY
        if mild and name in known:
            continue
        yield Found(
            f"{called(scene, name)} has {shown(volts)} V across it, the wrong way round, "
            f"{in_states(state for _, state in hits)}{_from_where(scene, state, name)}",
            place_of(scene, name),
            owners(name),
            severity="warning" if mild else None,
        )


def _from_where(scene: Scene, state: str, name: str) -> str:
    """Return the way from the source to the wrong side of a load: wires, contacts and loads."""
    way = scene.study.way(state, name)
    if way is None or not way.source:
        return ""
    passed = [s.id for s in way.feed if s.part != "joint"]
    return f": from {way.source} by {', '.join(passed)}" if passed else f": from {way.source}"


def _usual(points: tuple[Point, ...], element: Element) -> float:
    """Return the sign of a load in the state it gets most in; its direction, if none is said."""
    most = max((p.across(element) for p in points if p.is_present(element)), key=abs, default=1.0)
    return 1.0 if most >= 0 else -1.0


def in_series(scene: Scene) -> Iterator[Found | Missing]:
    """A load gets a part of its voltage because it lies in series with another one."""
    yield from lacking(scene)
    points = solved(scene)
    seen: dict[str, list[tuple[float, str, tuple[str, ...]]]] = {}
    feeds = scene.study.back_feeds if points else ()
    told = {(feed.state, feed.through[0]) for feed in feeds if len(feed.through) == 1}
    told |= {(feed.state, one.id) for feed in feeds for one in feed.alive}
    for point in points:
        for element in point.elements:
            if element.part != "load" or not element.rated_v:
                continue
            share = point.across(element) / element.rated_v
            share = share if element.one_way else abs(share)
            if not _FAINT_SHARE <= share <= _FULL_SHARE:
                continue
            way = scene.study.way(point.name, element.id)
            others = tuple(n for n in way.in_series if _is_rated(scene, n)) if way else ()
            if others and (point.name, element.id) not in told:
                seen.setdefault(element.id, []).append((share, point.name, others))
    for name, hits in seen.items():
        share, _, near = max(hits)
        yield Found(
            f"{called(scene, name)} gets {shown(100 * share, 0)} % of its voltage "
            f"{in_states(state for _, state, _ in hits)}: it lies in series with "
            f"{' and '.join(near)}",
            place_of(scene, name),
            (*owners(name), *(o.partition(":")[0] for o in near)),
        )


def _is_rated(scene: Scene, name: str) -> bool:
    place = scene.study.circuit.place.get(name)
    return place is not None and bool(scene.study.circuit.elements[place].rated_v)


def reversed_coil(scene: Scene) -> Iterator[Found | Missing]:
    """The diode across a relay coil conducts: the coil is connected the wrong way round."""
    yield from lacking(scene)
    done: dict[str, None] = {}
    for point in solved(scene):
        for element in point.elements:
            name = element.id.removesuffix(" diode")
            if element.id == name or name in done or point.amps(element.id) < 0.1:
                continue
            done[name] = None
            device = device_of(scene, name)
            plus = device.coil.plus if device is not None and device.coil is not None else ""
            yield Found(
                f"{called(scene, name)} shorts its supply through the diode across its coil in "
                f"state '{point.name}': {amps(point.amps(element.id))} flow; {plus} has to be the "
                "plus side",
                place_of(scene, name),
                owners(name),
            )


_STATES = "states, facts of sources and loads"
RULES = (
    Rule(
        code="STA103",
        name="alive behind an open switch",
        title="A circuit is alive while its switch is open",
        severity="error",
        why="The engine runs on, a relay stays in, or a lamp glows, with the key in the pocket; a "
        "circuit that was switched off for work is not dead.",
        fix="Fit a diode where the current comes in backwards",
        source="fuddymuckers.co.uk: alternator diode; locostbuilders.co.uk thread 141951",
        needs=_STATES,
        since="0.1",
        run=back_feed,
        stage="states",
    ),
    Rule(
        code="STA104",
        name="current the wrong way",
        title="Current runs through a load against its direction",
        severity="error",
        why="Electronics are destroyed, motors turn backwards; a lamp shows that something feeds "
        "it from the far side.",
        fix="Feed the part through a relay that opens with the rest, or break the way named with a "
        "diode",
        source="redarc.com.au tech tip: reverse polarity of 12 V equipment on a 24 V system",
        needs=_STATES,
        since="0.1",
        run=wrong_way,
        stage="states",
    ),
    Rule(
        code="STA105",
        name="loads in series",
        title="A load gets a part of its voltage because it lies in series with another one",
        severity="warning",
        why="Both glow, or neither works; after a lost earth it is the sign to look for.",
        fix="Give each load its own way to earth",
        source="brakeandfrontend.com: indicators light with the brake pedal, missing lamp earth",
        needs=_STATES,
        since="0.1",
        run=in_series,
        stage="states",
    ),
    Rule(
        code="STA110",
        name="coil diode the wrong way",
        title="The diode across a relay coil conducts: the coil is the wrong way round",
        severity="error",
        why="The supply is shorted through the diode: the fuse blows, or the diode and the output "
        "that drives the coil die.",
        fix="Exchange the two coil wires; makers differ on which terminal is plus",
        source="nswbandits.forumotion.net t4926; twcontrols.com relay diode lesson",
        needs=f"suppression and plus of the coil, {_STATES}",
        since="0.1",
        run=reversed_coil,
        stage="states",
    ),
)
