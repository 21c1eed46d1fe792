"""PNG: pixels of the page, and that what is drawn stands where it belongs."""

import struct
import zlib

import pytest

from wiregen.draw.png import to_png
from wiregen.sheet.items import Arc, Circle, Item, Path, Pen, Rect, Sheet, Text

RED, BLUE, WHITE = (0xD2, 0x23, 0x2A), (0x0A, 0x4F, 0xA0), (255, 255, 255)
PPI = 254  # ten pixels to the millimetre


class Picture:
    """A PNG as this program writes it, read by the letter of the standard (ISO/IEC 15948)."""

    def __init__(self, data: bytes) -> None:
        assert data[:8] == b"\x89PNG\r\n\x1a\n"
        chunks = {}
        place = 8
        while place < len(data):
            length, name = struct.unpack_from(">I4s", data, place)
            content = data[place + 8 : place + 8 + length]
            check = struct.unpack_from(">I", data, place + 8 + length)[0]
            assert check == zlib.crc32(name + content)
            chunks[name] = content
            place += 12 + length
        assert list(chunks)[-1] == b"IEND"
        self.width, self.height, *kind = struct.unpack(">IIBBBBB", chunks[b"IHDR"])
        assert kind == [8, 2, 0, 0, 0]
        self.per_metre = struct.unpack(">IIB", chunks[b"pHYs"])
        rows = zlib.decompress(chunks[b"IDAT"])
        step = 1 + 3 * self.width
        assert len(rows) == step * self.height
        self.rows = [rows[n * step : (n + 1) * step] for n in range(self.height)]
        assert all(row[0] == 0 for row in self.rows)

    def at(self, x_mm: float, y_mm: float) -> tuple[int, ...]:
        row = self.rows[int(y_mm * PPI / 25.4)]
        start = 1 + 3 * int(x_mm * PPI / 25.4)
        return tuple(row[start : start + 3])


def shown(*items: Item) -> Picture:
    return Picture(to_png(Sheet("a", "A", 50, 20, items), PPI))


def near(colour: tuple[int, ...], wanted: tuple[int, ...]) -> bool:
    return all(abs(one - other) <= 2 for one, other in zip(colour, wanted, strict=True))


@pytest.mark.parametrize("ppi", [48, 96, 300])
def test_png_has_the_pixels_of_the_page(ppi: float) -> None:
    picture = Picture(to_png(Sheet("a", "A", 297, 210, ()), ppi))
    assert picture.width == pytest.approx(297 / 25.4 * ppi, abs=1)
    assert picture.height == pytest.approx(210 / 25.4 * ppi, abs=1)
    assert picture.per_metre == (round(ppi / 0.0254), round(ppi / 0.0254), 1)


def test_a_line_has_its_width_and_its_ends() -> None:
    red = "#d2232a"
    flat = shown(Path(((10, 10), (40, 10)), Pen(red, 2)))
    assert near(flat.at(11, 9.2), RED)
    assert near(flat.at(11, 10.8), RED)
    assert near(flat.at(11, 8.8), WHITE)
    assert near(flat.at(11, 11.2), WHITE)
    assert near(flat.at(9.7, 10), WHITE)
    assert near(flat.at(40.3, 10), WHITE)
    rounded = shown(Path(((10, 10), (40, 10)), Pen(red, 2, cap="round")))
    assert near(rounded.at(9.3, 10), RED)
    assert near(rounded.at(40.7, 10), RED)
    assert near(rounded.at(8.8, 10), WHITE)
    assert near(rounded.at(9.2, 9.2), WHITE)  # round, not square


def test_every_line_has_its_own_pen() -> None:
    red, blue = Pen("#d2232a", 2), Pen("#0a4fa0", 1)
    lines = [
        Path(((5, y), (45, y)), pen) for y, pen in ((4, red), (8, blue), (12, blue), (16, red))
    ]
    picture = shown(*lines)
    assert [near(picture.at(20, y), RED) for y in (4, 8, 12, 16)] == [True, False, False, True]
    assert [near(picture.at(20, y), BLUE) for y in (4, 8, 12, 16)] == [False, True, True, False]
    assert near(picture.at(20, 8.8), WHITE)
    assert near(picture.at(20, 15.2), RED)


def test_dashes_begin_at_the_start_and_keep_their_lengths() -> None:
    picture = shown(Path(((10, 10), (40, 10)), Pen("#d2232a", 2, dash=(3, 2))))
    for x in (10.2, 12.8, 15.2, 17.8, 35.2, 37.8):
        assert near(picture.at(x, 10), RED), x
    for x in (13.2, 14.8, 18.2, 19.8, 38.2, 39.8):
        assert near(picture.at(x, 10), WHITE), x


def test_corners_of_a_line_are_round() -> None:
    picture = shown(Path(((10, 15), (30, 15), (30, 5)), Pen("#d2232a", 4)))
    assert near(picture.at(31.2, 16.2), RED)
    assert near(picture.at(31.8, 16.8), WHITE)


def test_what_comes_later_covers_what_was_there() -> None:
    below = Rect(10, 5, 20, 10, Pen("#0a4fa0", 1, fill="#d2232a"))
    picture = shown(below, Path(((15, 10), (45, 10)), Pen("#0a4fa0", 2)))
    assert near(picture.at(12, 10), RED)
    assert near(picture.at(20, 10), BLUE)
    assert near(picture.at(9.7, 10), BLUE)  # half the outline stands outside
    assert near(picture.at(10.3, 10), BLUE)
    assert near(picture.at(9.3, 10), WHITE)


def test_an_area_may_be_open_or_closed() -> None:
    points = ((10, 5), (30, 5), (30, 15), (10, 15))
    opened = shown(Path(points, Pen("#d2232a", 1)))
    closed = shown(Path(points, Pen("#d2232a", 1), closed=True))
    assert near(opened.at(10, 10), WHITE)
    assert near(closed.at(10, 10), RED)
    assert near(closed.at(20, 10), WHITE)


def test_rounded_corners_take_away_the_points() -> None:
    picture = shown(Rect(10, 4, 20, 12, Pen(fill="#d2232a"), corner=4))
    for x, y in ((10.5, 4.5), (29.5, 4.5), (10.5, 15.5), (29.5, 15.5)):
        assert near(picture.at(x, y), WHITE)
    for x, y in ((11.6, 5.6), (28.4, 5.6), (11.6, 14.4), (28.4, 14.4), (20, 4.2), (10.2, 10)):
        assert near(picture.at(x, y), RED)
    pill = shown(Rect(10, 8, 20, 4, Pen(fill="#d2232a"), corner=9))
    assert near(pill.at(10.2, 10), RED)
    assert near(pill.at(28.2, 8.3), RED)
    assert near(pill.at(10.4, 8.4), WHITE)
    lined = shown(Rect(10, 4, 20, 12, Pen("#d2232a", 1), corner=4))
    assert near(lined.at(10, 10), RED)
    assert near(lined.at(10.3, 4.3), WHITE)
    assert near(lined.at(11, 4), WHITE)


def test_a_circle_is_round() -> None:
    picture = shown(Circle((20, 10), 6, Pen("#d2232a", 1, fill="#0a4fa0")))
    for turn in ((6, 0), (0, 6), (-6, 0), (0, -6), (4.243, 4.243), (-4.243, 4.243)):
        assert near(picture.at(20 + turn[0], 10 + turn[1]), RED)
    assert near(picture.at(20, 10), BLUE)
    assert near(picture.at(25, 15), WHITE)


def test_an_arc_runs_clockwise_from_three_o_clock() -> None:
    quarter = shown(Arc((20, 10), 6, 0, 90, Pen("#d2232a", 1)))
    assert near(quarter.at(24.243, 14.243), RED)  # right and below
    for x, y in ((24.243, 5.757), (15.757, 5.757), (15.757, 14.243)):
        assert near(quarter.at(x, y), WHITE)
    most = shown(Arc((20, 10), 6, 180, -90, Pen("#d2232a", 1)))
    for x, y in ((15.757, 14.243), (24.243, 14.243), (24.243, 5.757)):
        assert near(most.at(x, y), RED)
    assert near(most.at(15.757, 5.757), WHITE)


def test_text_runs_right_or_up() -> None:
    bars = (("|" * 30, True, "#d2232a"),)

    def inked(picture: Picture, x: range, y: range) -> bool:
        return any(
            not near(picture.at(a / 10, b / 10), WHITE)
            for a in range(x.start * 10, x.stop * 10)
            for b in range(y.start * 10, y.stop * 10)
        )

    level = shown(Text(10, 15, bars, 3))
    assert inked(level, range(10, 30), range(12, 16))
    assert not inked(level, range(0, 9), range(0, 20))
    assert not inked(level, range(10, 30), range(0, 11))
    upright = shown(Text(10, 15, bars, 3, upright=True))
    assert inked(upright, range(7, 10), range(1, 14))
    assert not inked(upright, range(12, 50), range(0, 20))
    assert not inked(upright, range(0, 50), range(16, 20))


def test_the_same_sheet_gives_the_same_picture() -> None:
    line = Sheet("line", "Line", 50, 20, (Path(((5, 5), (45, 5)), Pen("#d2232a", 2)),))
    assert to_png(line) == to_png(line)
    assert to_png(line) != to_png(Sheet("line", "Line", 50, 20, ()))
