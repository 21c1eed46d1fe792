"""The display list and what every sheet is made of: style, text widths, symbols, frame."""
