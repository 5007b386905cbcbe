"""The command, for ``python -m climbwright.batch``."""

from climbwright.batch.command import main

if __name__ == "__main__":
    main(prog_name="climbwright")
