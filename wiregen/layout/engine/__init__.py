"""Abstract schematic layout: boxes with fixed pins, wires as orthogonal lanes that never touch."""
