"""Judge a design: every rule of the catalogue, waivers, and what could not be checked."""

from wiregen.check.report import NotChecked, Report

__all__ = ["NotChecked", "Report"]
