"""Two states of a design: what changed, what follows from it, and where git keeps them."""
