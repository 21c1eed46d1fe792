"""A model and its results set out on sheets: faces, schematic, overview, tables."""
