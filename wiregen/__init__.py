"""wiregen: one checked text file for a wiring loom, drawn as connector faces and schematic."""
