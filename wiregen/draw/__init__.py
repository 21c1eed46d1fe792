"""Sheets become files: SVG, PDF and PNG."""
