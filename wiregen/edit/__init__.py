"""The one place that changes a design file: spans of its text are replaced, all else is kept."""

from wiregen.edit.apply import edit_text
from wiregen.edit.edits import AppendItem, Edit, EditError, RemoveKey, Rename, SetKey
from wiregen.edit.file import change_file, edit_file
from wiregen.edit.tidy import tidy_text
from wiregen.edit.yaml_text import Remarked, yaml_lines, yaml_text

__all__ = [
    "AppendItem",
    "Edit",
    "EditError",
    "Remarked",
    "RemoveKey",
    "Rename",
    "SetKey",
    "change_file",
    "edit_file",
    "edit_text",
    "tidy_text",
    "yaml_lines",
    "yaml_text",
]
