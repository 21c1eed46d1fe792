"""The rules, one module for each group of the catalogue."""
