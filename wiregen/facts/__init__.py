"""Reference data with its sources: sizes, colours, faces, terminals, fuses, conductors."""
