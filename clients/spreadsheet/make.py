"""Makes flight-planning.xlsx and flight-planning.ods from one description (planning.py)."""

import argparse
from pathlib import Path

from ods import write_ods
from planning import FOOTER, sheets
from xlsx import write_xlsx


def main() -> None:
    """Read the arguments and write the files."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--into", type=Path, default=Path(__file__).parent, help="where the files go")
    asked = parser.parse_args()
    made = sheets()
    write_xlsx(made, asked.into / "flight-planning.xlsx", FOOTER)
    write_ods(made, asked.into / "flight-planning.ods", FOOTER)


if __name__ == "__main__":
    main()
