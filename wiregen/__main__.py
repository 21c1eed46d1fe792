"""`python -m wiregen` does what the command `wiregen` does."""

from wiregen.cli import main

if __name__ == "__main__":
    main()
