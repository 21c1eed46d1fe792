"""The schematic: sheets that show every wire from pin to pin."""
