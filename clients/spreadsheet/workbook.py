"""What a workbook is made of, whatever kind of file it becomes: sheets, cells, looks, and rules that recolour them."""

from dataclasses import dataclass, field

from openpyxl.utils import get_column_letter

__all__ = ["LOOKS", "OVER", "Cell", "Choice", "Look", "Rule", "Sheet"]

INK, PAPER, BAND, RUST = "1F3B45", "FBF8F0", "E4DCC8", "A8481F"
LINE, FAINT = "B9B09A", "6B7076"
ENTRY, ENTRY_EDGE = "FFF1B8", "B98200"
FONT = "Arial"


@dataclass(frozen=True, slots=True)
class Look:
    """How a cell looks.

    `border` is none, under, rule, box or entry; `decimals` None shows a number as it comes; `as_text` leaves what is
    typed as it is: a share typed as 5% would else become 0.05, and be sent so with the unit % beside it.
    """

    size: float = 9
    bold: bool = False
    italic: bool = False
    colour: str = INK
    fill: str | None = None
    border: str = "none"
    align: str = "left"
    vertical: str = "center"
    wrap: bool = False
    indent: int = 0
    decimals: int | None = None
    as_text: bool = False


LOOKS = {
    "text": Look(wrap=True, vertical="top"),
    "label": Look(border="under"),
    "unit": Look(border="under", colour=FAINT, indent=1),
    "note": Look(size=8, colour=FAINT, wrap=True, indent=1),
    "remark": Look(size=8, colour=RUST, italic=True, border="under", indent=1),
    "entry": Look(fill=ENTRY, border="entry", align="right"),
    "entry share": Look(fill=ENTRY, border="entry", align="right", as_text=True),
    "entry text": Look(fill=ENTRY, border="entry", indent=1, as_text=True),
    "entry long": Look(size=5.5, fill=ENTRY, border="entry", wrap=True, vertical="top", as_text=True),
    "entry head": Look(fill=ENTRY, border="entry", bold=True, align="center", wrap=True, as_text=True),
    "title": Look(size=18, bold=True, colour=INK),
    "mark": Look(size=8, colour=RUST, bold=True, align="right"),
    "plate name": Look(size=7, colour=FAINT, fill=PAPER, border="box", indent=1),
    "plate": Look(size=9, bold=True, fill=PAPER, border="box", wrap=True, indent=1),
    "section": Look(size=10, bold=True, colour=RUST, border="rule", vertical="bottom"),
    "head": Look(size=8, bold=True, colour="FFFFFF", fill=INK, wrap=True),
    "head right": Look(size=8, bold=True, colour="FFFFFF", fill=INK, align="right", wrap=True),
    "head unit": Look(size=8, bold=True, colour="FFFFFF", fill=INK, indent=1),
    "place": Look(size=8, bold=True, fill=BAND, border="under", indent=1),
    "caution": Look(size=9, bold=True, colour=RUST, fill=PAPER, border="box", wrap=True, indent=1),
    "line": Look(size=8.5, wrap=True, border="under", indent=1),
    "said": Look(size=7.5, wrap=True, border="under", indent=1),
    "saying": Look(size=8.5, wrap=True, indent=1),
    "state": Look(size=9, bold=True, border="under", align="center"),
    "why": Look(size=7, colour=RUST, italic=True, wrap=True, border="under", vertical="top"),
    "call": Look(size=6.5, border="under", indent=1),
    "count": Look(size=6.5, border="under", align="right", decimals=0),
}
LOOKS |= {f"number {n}": Look(border="under", align="right", bold=True, decimals=n) for n in range(4)}
LOOKS |= {f"plain {n}": Look(border="under", align="right", decimals=n) for n in range(4)}
# What rules put over a cell: colours alone, the rest stays the cell's.
OVER = {
    "good": Look(colour="1E5B31", fill="D8E9D3", bold=True),
    "bad": Look(colour="8C1C0F", fill="F5CFC3", bold=True),
}


@dataclass(frozen=True, slots=True)
class Cell:
    """A number, a text, or a formula (a text that begins with =), and how many columns and rows it covers."""

    value: str | float | None
    look: str
    across: int = 1
    down: int = 1


@dataclass(frozen=True, slots=True)
class Rule:
    """A formula, written for the first cell of an area, that puts a look over every cell where it is true."""

    area: str
    formula: str
    look: str


@dataclass(frozen=True, slots=True)
class Choice:
    """A cell that offers a list of words."""

    cell: str
    words: tuple[str, ...]


@dataclass(slots=True)
class Sheet:
    """A sheet: its cells by (row, column) from 1, widths in millimetres, heights in points.

    `repeated_rows` stand at the head of every page. LibreOffice forgets to compute merged formulas in such rows when it
    reads an .ods, so that only a sheet of several pages has them.
    """

    name: str
    widths: tuple[float, ...]
    landscape: bool = False
    frozen_rows: int = 0
    frozen_columns: int = 0
    repeated_rows: int = 0
    cells: dict[tuple[int, int], Cell] = field(default_factory=dict)
    heights: dict[int, float] = field(default_factory=dict)
    rules: list[Rule] = field(default_factory=list)
    choices: list[Choice] = field(default_factory=list)

    def put(
        self, row: int, column: int, value: str | float | None, look: str = "text", across: int = 1, down: int = 1
    ) -> str:
        """Put a cell and give its absolute address, for formulas of any sheet."""
        if (row, column) in self.cells:
            raise ValueError(f"{self.name}: {self.at(row, column)} is taken")
        self.cells[row, column] = Cell(value, look, across, down)
        return f"{self.name}!${get_column_letter(column)}${row}"

    def at(self, row: int, column: int) -> str:
        """The address of a cell within its sheet."""
        return f"{get_column_letter(column)}{row}"

    @property
    def rows(self) -> int:
        """The last row in use."""
        return max(row + cell.down - 1 for (row, _), cell in self.cells.items())

    @property
    def columns(self) -> int:
        """The last column in use."""
        return max(column + cell.across - 1 for (_, column), cell in self.cells.items())
