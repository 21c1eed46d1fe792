"""The codes of everything that makes a file unreadable, with the texts that explain them."""

from __future__ import annotations

from dataclasses import dataclass

FILE = "FMT101"
TEXT = "FMT102"
YAML = "FMT103"
DUPLICATE = "FMT104"
FOREIGN = "FMT105"
DEPTH = "FMT106"
UNKNOWN_KEY = "FMT107"
MISSING_KEY = "FMT108"
WRONG_SORT = "FMT109"
WORD = "FMT110"
QUANTITY = "FMT111"
NAME = "FMT112"
COMBINATION = "FMT113"
INCLUDE = "FMT114"
COUNT = "FMT115"
VERSION = "FMT116"
DUPLICATE_ID = "REF101"
COLOUR = "COL101"


@dataclass(frozen=True, slots=True)
class FormatCode:
    """What `wiregen explain` says about a message of the reader.

    Attributes:
        code: never renumbered or reused.
        name: short name of the fault.
        title: one line.
        why: what goes wrong if it were let through.
        fix: what to do.
    """

    code: str
    name: str
    title: str
    why: str
    fix: str


FORMAT_CODES: tuple[FormatCode, ...] = (
    FormatCode(
        FILE,
        "file not readable",
        "The file is missing, empty, too large, or not a file",
        "There is nothing to check or to draw.",
        "Check the name and the folder, and that you may read the file. A design is one YAML file "
        "of at most 20 MB; 'wiregen new' writes one to start from.",
    ),
    FormatCode(
        TEXT,
        "not plain text",
        "The file is not UTF-8 text, or holds characters that do not show",
        "A character that is not seen on the screen can hide a different name or value.",
        "Save the file as UTF-8 in the editor, and delete the character at the place named.",
    ),
    FormatCode(
        YAML,
        "YAML broken",
        "The file cannot be read as YAML",
        "From this place on it is not certain which value belongs to which key.",
        "Look at the line named and the one before it: a missing space after ':', a missing comma "
        "or bracket, an open quote, a wrong indentation. Texts with ': ' or a first character such "
        "as * & ! @ % need quotes.",
    ),
    FormatCode(
        DUPLICATE,
        "duplicate key",
        "A key stands twice in the same place",
        "One of the two would win without a word: a cavity or a wire described twice would lose "
        "one of its descriptions.",
        "Keep one of the two lines, or give the second object its own id.",
    ),
    FormatCode(
        FOREIGN,
        "YAML feature not used",
        "Aliases, anchors, tags, merge keys and second documents are not part of the format",
        "They make a line mean something that cannot be seen on that line.",
        "Write the value out. If the mark belongs to a text, put the text in quotes.",
    ),
    FormatCode(
        DEPTH,
        "nested too deep",
        "Lists or mappings are nested more than 40 levels",
        "No part of a design needs it; it is usually a bracket that was never closed.",
        "Close the brackets, or check the indentation.",
    ),
    FormatCode(
        UNKNOWN_KEY,
        "unknown key",
        "A key that the format does not know",
        "A mistyped key would be passed over in silence, and with it the fact it states.",
        "Correct the spelling; the nearest known key is named. Free remarks belong in 'note'.",
    ),
    FormatCode(
        MISSING_KEY,
        "missing key",
        "A key that the object cannot do without",
        "Without it the object has no meaning, and nothing is guessed.",
        "Add the key that is named.",
    ),
    FormatCode(
        WRONG_SORT,
        "wrong sort of value",
        "A text, a number, a list or a mapping stands where another is needed",
        "The value cannot be placed anywhere in the design.",
        "Write the value as the message shows. true and false are written exactly so; a text that "
        "looks like one of them goes in quotes.",
    ),
    FormatCode(
        WORD,
        "unknown word",
        "A word outside the list a key allows",
        "Rules and drawings depend on these words; an unknown one would switch them off silently.",
        "Use one of the words that are named.",
    ),
    FormatCode(
        QUANTITY,
        "quantity not readable",
        "A number, its unit, a size or a range cannot be read",
        "A misread unit or decimal comma changes a value by a factor of ten or a thousand.",
        "Write a number with a decimal point, and a unit if it is not the usual one of the key: "
        "850, 1.2 m, 18 AWG, 12 mohm, 0.5..2.5.",
    ),
    FormatCode(
        NAME,
        "name, end or date not readable",
        "An id, a cavity name, the end of a wire or a date is not written as the format needs it",
        "Ids become names in drawings and files; an end that is not clear could land on a "
        "different pin.",
        "Ids are letters, digits, '-', '_' and '.'. An end is PLUG:CAVITY, DEVICE:TERMINAL, "
        "FUSE:in, FUSE:out, or the id of a splice, an earth or a box. A date is year-month-day.",
    ),
    FormatCode(
        COMBINATION,
        "keys do not go together",
        "Keys of one object exclude or need each other",
        "Two statements of the same fact can disagree, and half a statement cannot be used.",
        "Keep one of the keys, or add the one that is named.",
    ),
    FormatCode(
        INCLUDE,
        "include refused",
        "A file named under 'include' may not or cannot be brought in",
        "A design may only draw on files of its own folder and the folders below it, so that "
        "opening somebody's design never reads anything else.",
        "Put the file in the design's folder or below it, and name it with a relative path. "
        "Files may not include each other in a circle.",
    ),
    FormatCode(
        COUNT,
        "too few or too many items",
        "A list holds too few or too many items, or one of them twice",
        "The missing or extra item cannot be placed.",
        "Write as many items as the message says.",
    ),
    FormatCode(
        VERSION,
        "format version",
        "The file names another version of the format",
        "Keys may mean something else in another version.",
        "Write 'format: 1', or use the version of wiregen that made the file.",
    ),
)
