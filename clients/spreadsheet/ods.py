"""Writes a workbook as .ods: the four files of the format, in a zip."""

import zipfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from openpyxl.formula import Tokenizer
from openpyxl.formula.tokenizer import Token
from workbook import ENTRY_EDGE, FONT, INK, LINE, LOOKS, OVER, Cell, Look, Sheet

__all__ = ["open_formula", "write_ods"]

_NAMES = (
    'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" '
    'xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0" '
    'xmlns:number="urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0" '
    'xmlns:fo="urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0" '
    'xmlns:of="urn:oasis:names:tc:opendocument:xmlns:of:1.2" '
    'xmlns:config="urn:oasis:names:tc:opendocument:xmlns:config:1.0" '
    'xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0" '
    'xmlns:ooo="http://openoffice.org/2004/office" '  # names the set of view settings, in a value
    'xmlns:meta="urn:oasis:names:tc:opendocument:xmlns:meta:1.0" '
    'xmlns:dc="http://purl.org/dc/elements/1.1/" office:version="1.3"'
)
_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
_KIND = "application/vnd.oasis.opendocument.spreadsheet"
_VENDOR = ("WEBSERVICE(", "ENCODEURL(")
_ALIGN = {"left": "start", "center": "center", "right": "end"}
_VERTICAL = {"top": "top", "center": "middle", "bottom": "bottom"}


def write_ods(sheets: Sequence[Sheet], path: Path, footer: str) -> None:
    """Write sheets to a file.

    Parameters
    ----------
    sheets : sequence of Sheet
        In their order.
    path : Path
        The file, which is replaced.
    footer : str
        What stands under every printed page, beside its number.
    """
    parts = {
        "content.xml": _content(sheets),
        "styles.xml": _styles(footer),
        "settings.xml": _settings(sheets),
        "meta.xml": f"<office:document-meta {_NAMES}><office:meta><dc:title>Flight planning</dc:title>"
        "<meta:generator>climbwright</meta:generator></office:meta></office:document-meta>",
    }
    listed = "".join(f'<m:file-entry m:full-path="{name}" m:media-type="text/xml"/>' for name in parts)
    manifest = (
        '<m:manifest xmlns:m="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" m:version="1.3">'
        f'<m:file-entry m:full-path="/" m:media-type="{_KIND}"/>{listed}</m:manifest>'
    )
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr(_entry("mimetype", zipfile.ZIP_STORED), _KIND)  # first and as it is, says the format
        for name, text in (parts | {"META-INF/manifest.xml": manifest}).items():
            packed.writestr(_entry(name, zipfile.ZIP_DEFLATED), _HEAD + text)


def _entry(name: str, how: int) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name)  # dated 1980: the same cells make the same file
    entry.compress_type = how
    return entry


def open_formula(formula: str) -> str:
    """A formula as this format writes it.

    Parameters
    ----------
    formula : str
        With commas between arguments and addresses such as ``Inputs!$C$5``.

    Returns
    -------
    str
        With semicolons, and addresses such as ``[$Inputs.$C$5]``.
    """
    return "of:=" + "".join(_piece(token) for token in Tokenizer(formula).items)


def _piece(token: Token) -> str:
    if token.type == Token.OPERAND and token.subtype == Token.RANGE:
        sheet, _, cells = token.value.rpartition("!")
        here = f"${sheet}." if sheet else "."
        first, colon, last = cells.partition(":")
        return f"[{here}{first}{colon}{'.' if last else ''}{last}]"
    if token.type == Token.SEP:
        return ";"
    if token.type == Token.FUNC and token.value in _VENDOR:
        return f"COM.MICROSOFT.{token.value}"
    return token.value


def _id(look: str) -> str:
    return look.replace(" ", "-")


def _cell_style(name: str, look: Look) -> str:
    cell = f' style:vertical-align="{_VERTICAL[look.vertical]}" fo:wrap-option="{"wrap" if look.wrap else "no-wrap"}"'
    cell += f' fo:background-color="#{look.fill}"' if look.fill else ""
    cell += ' style:text-align-source="fix"'
    edges = {
        "under": f' fo:border-bottom="0.3pt solid #{LINE}"',
        "rule": f' fo:border-bottom="1.4pt solid #{INK}"',
        "box": f' fo:border="0.7pt solid #{LINE}"',
        "entry": f' fo:border="1.4pt solid #{ENTRY_EDGE}"',
    }
    cell += edges.get(look.border, "")
    words = f' style:font-name="{FONT}" fo:font-size="{look.size}pt" fo:color="#{look.colour}"'
    words += ' fo:font-weight="bold"' if look.bold else ""
    words += ' fo:font-style="italic"' if look.italic else ""
    shown = f' style:data-style-name="{_shown(look)}"' if _shown(look) else ""
    return (
        f'<style:style style:name="{_id(name)}" style:family="table-cell" style:parent-style-name="Default"{shown}>'
        f'<style:table-cell-properties{cell}/><style:paragraph-properties fo:text-align="{_ALIGN[look.align]}" '
        f'fo:margin-left="{1.5 * look.indent}mm"/>'
        f"<style:text-properties{words}/></style:style>"
    )


def _shown(look: Look) -> str:
    if look.decimals is not None:
        return f"N{look.decimals}"
    return "as-text" if look.as_text else ""


def _numbers() -> str:
    styles = "".join(
        f'<number:number-style style:name="N{n}"><number:number number:decimal-places="{n}" '
        f'number:min-decimal-places="{n}" number:min-integer-digits="1"/></number:number-style>'
        for n in range(4)
    )
    return styles + '<number:text-style style:name="as-text"><number:text-content/></number:text-style>'


def _styles(footer: str) -> str:
    cells = "".join(_cell_style(name, look) for name, look in LOOKS.items())
    cells += "".join(
        f'<style:style style:name="{name}" style:family="table-cell" style:parent-style-name="Default">'
        f'<style:table-cell-properties fo:background-color="#{look.fill}"/><style:text-properties '
        f'fo:font-weight="bold" fo:color="#{look.colour}"/></style:style>'
        for name, look in OVER.items()
    )
    small = (
        '<style:style style:name="small" style:family="text"><style:text-properties fo:font-size="7pt" '
        f'style:font-name="{FONT}"/></style:style><style:style style:name="under" style:family="paragraph">'
        '<style:paragraph-properties fo:text-align="center"/></style:style>'
    )
    pages = masters = ""
    for way, width, height in (("portrait", 210, 297), ("landscape", 297, 210)):
        pages += (
            f'<style:page-layout style:name="page-{way}"><style:page-layout-properties fo:page-width="{width}mm" '
            f'fo:page-height="{height}mm" style:print-orientation="{way}" fo:margin-left="11.5mm" fo:margin-right='
            '"11.5mm" fo:margin-top="11.5mm" fo:margin-bottom="8mm" style:scale-to-X="1" '
            'style:first-page-number="continue" '
            'style:table-centering="horizontal" style:print="objects charts drawings zero-values"/>'
            '<style:footer-style><style:header-footer-properties fo:min-height="8mm" fo:margin-top="2mm"/>'
            "</style:footer-style></style:page-layout>"
        )
        masters += (
            f'<style:master-page style:name="{way}" style:page-layout-name="page-{way}"><style:footer>'
            f'<text:p text:style-name="under"><text:span text:style-name="small">{escape(footer)}   <text:sheet-name/>'
            ", page <text:page-number/> of <text:page-count/></text:span></text:p></style:footer></style:master-page>"
        )
    return (
        f"<office:document-styles {_NAMES}>{_fonts()}<office:styles>{_numbers()}"
        '<style:style style:name="Default" style:family="table-cell"><style:text-properties '
        f'style:font-name="{FONT}" fo:font-size="9pt"/></style:style>{cells}</office:styles>'
        f"<office:automatic-styles>{small}{pages}</office:automatic-styles>"
        f"<office:master-styles>{masters}</office:master-styles></office:document-styles>"
    )


def _fonts() -> str:
    return (
        f'<office:font-face-decls><style:font-face style:name="{FONT}" xmlns:svg="urn:oasis:names:tc:opendocument:'
        f'xmlns:svg-compatible:1.0" svg:font-family="{FONT}" style:font-family-generic="swiss"/>'
        "</office:font-face-decls>"
    )


def _content(sheets: Sequence[Sheet]) -> str:
    widths = sorted({width for sheet in sheets for width in sheet.widths})
    heights = sorted({height for sheet in sheets for height in sheet.heights.values()})
    automatic = "".join(
        f'<style:style style:name="{_wide(width)}" style:family="table-column"><style:table-column-properties '
        f'style:column-width="{width}mm"/></style:style>'
        for width in widths
    )
    automatic += "".join(
        f'<style:style style:name="{_high(height)}" style:family="table-row"><style:table-row-properties '
        f'style:row-height="{height}pt" style:use-optimal-row-height="false"/></style:style>'
        for height in heights
    )
    automatic += (
        '<style:style style:name="high-as-needed" style:family="table-row"><style:table-row-properties '
        'style:use-optimal-row-height="true"/></style:style>'
    )
    automatic += "".join(
        f'<style:style style:name="sheet-{way}" style:family="table" style:master-page-name="{way}">'
        '<style:table-properties table:display="true"/></style:style>'
        for way in ("portrait", "landscape")
    )
    offered = "".join(_validation(sheet, place) for sheet in sheets for place in range(len(sheet.choices)))
    tables = "".join(_table(sheet) for sheet in sheets)
    return (
        f"<office:document-content {_NAMES}>{_fonts()}<office:automatic-styles>{automatic}</office:automatic-styles>"
        f"<office:body><office:spreadsheet><table:content-validations>{offered}</table:content-validations>{tables}"
        "</office:spreadsheet></office:body></office:document-content>"
    )


def _wide(width: float) -> str:
    return f"wide-{width}"


def _high(height: float) -> str:
    return f"high-{height}"


def _validation(sheet: Sheet, place: int) -> str:
    choice = sheet.choices[place]
    words = ";".join(f'"{word}"' for word in choice.words)
    return (
        f'<table:content-validation table:name="{sheet.name}-{place}" '
        f"table:condition={quoteattr(f'of:cell-content-is-in-list({words})')} "
        f'table:allow-empty-cell="true" table:base-cell-address="{sheet.name}.{choice.cell}">'
        '<table:error-message table:display="false"/></table:content-validation>'  # the service says what is wrong
    )


def _table(sheet: Sheet) -> str:
    way = "landscape" if sheet.landscape else "portrait"
    columns = "".join(f'<table:table-column table:style-name="{_wide(width)}"/>' for width in sheet.widths)
    rows = [_row(sheet, row) for row in range(1, sheet.rows + 1)]
    again = sheet.repeated_rows
    head = f"<table:table-header-rows>{''.join(rows[:again])}</table:table-header-rows>" if again else ""
    area = f"{sheet.name}.A1:{sheet.name}.{sheet.at(sheet.rows, sheet.columns)}"
    return (
        f'<table:table table:name="{sheet.name}" table:style-name="sheet-{way}" table:print-ranges="{area}">{columns}'
        f"{head}{''.join(rows[again:])}{_rules(sheet)}</table:table>"
    )


def _rules(sheet: Sheet) -> str:
    formats = ""
    for rule in sheet.rules:
        first, _, last = rule.area.partition(":")
        formula = open_formula("=" + rule.formula).removeprefix("of:=")
        formats += (
            f'<calcext:conditional-format calcext:target-range-address="{sheet.name}.{first}:{sheet.name}.'
            f'{last or first}"><calcext:condition calcext:apply-style-name="{_id(rule.look)}" '
            f"calcext:value={quoteattr(f'formula-is({formula})')} "
            f'calcext:base-cell-address="{sheet.name}.{first}"/></calcext:conditional-format>'
        )
    return f"<calcext:conditional-formats>{formats}</calcext:conditional-formats>" if formats else ""


def _row(sheet: Sheet, row: int) -> str:
    height = sheet.heights.get(row)
    style = "high-as-needed" if height is None else _high(height)
    return f'<table:table-row table:style-name="{style}">{"".join(_cells(sheet, row))}</table:table-row>'


def _cells(sheet: Sheet, row: int) -> Iterator[str]:
    chosen = {choice.cell: place for place, choice in enumerate(sheet.choices)}
    for column in range(1, sheet.columns + 1):
        cell = sheet.cells.get((row, column))
        if cell is not None:
            yield _cell(cell, f"{sheet.name}-{chosen[at]}" if (at := sheet.at(row, column)) in chosen else "")
            continue
        over = _covering(sheet, row, column)
        if over is None:
            yield "<table:table-cell/>"
        else:
            yield f'<table:covered-table-cell table:style-name="{_id(over.look)}"/>'


def _covering(sheet: Sheet, row: int, column: int) -> Cell | None:
    """The merged cell that lies over a place."""
    for (top, left), cell in sheet.cells.items():
        if top <= row < top + cell.down and left <= column < left + cell.across:
            return cell
    return None


def _cell(cell: Cell, validation: str) -> str:
    more = f' table:content-validation-name="{validation}"' if validation else ""
    if cell.across > 1 or cell.down > 1:
        more += f' table:number-columns-spanned="{cell.across}" table:number-rows-spanned="{cell.down}"'
    head = f'<table:table-cell table:style-name="{_id(cell.look)}"{more}'
    if cell.value is None:
        return f"{head}/>"
    if isinstance(cell.value, str) and cell.value.startswith("="):
        return f"{head} table:formula={quoteattr(open_formula(cell.value))}/>"
    if isinstance(cell.value, str):
        lines = "".join(f"<text:p>{escape(line)}</text:p>" for line in cell.value.split("\n"))
        return f'{head} office:value-type="string">{lines}</table:table-cell>'
    return f'{head} office:value-type="float" office:value="{cell.value}"/>'


def _settings(sheets: Sequence[Sheet]) -> str:
    tables = "".join(
        f'<config:config-item-map-entry config:name="{sheet.name}">{_frozen(sheet)}</config:config-item-map-entry>'
        for sheet in sheets
    )
    return (
        f"<office:document-settings {_NAMES}><office:settings>"
        '<config:config-item-set config:name="ooo:view-settings"><config:config-item-map-indexed config:name="Views">'
        '<config:config-item-map-entry><config:config-item config:name="ViewId" config:type="string">view1'
        '</config:config-item><config:config-item-map-named config:name="Tables">'
        f"{tables}</config:config-item-map-named>"
        f'<config:config-item config:name="ActiveTable" config:type="string">{sheets[0].name}</config:config-item>'
        '<config:config-item config:name="ShowGrid" config:type="boolean">false</config:config-item>'
        "</config:config-item-map-entry></config:config-item-map-indexed></config:config-item-set>"
        "</office:settings></office:document-settings>"
    )


def _frozen(sheet: Sheet) -> str:
    """A split that stays (mode 2) under the rows and beside the columns at the top left."""

    def item(name: str, kind: str, value: object) -> str:
        return f'<config:config-item config:name="{name}" config:type="{kind}">{value}</config:config-item>'

    items = [item("ShowGrid", "boolean", "false")]
    for way, last, count in (
        ("Horizontal", "PositionRight", sheet.frozen_columns),
        ("Vertical", "PositionBottom", sheet.frozen_rows),
    ):
        items.append(item(f"{way}SplitMode", "short", 2 if count else 0))
        items.append(item(f"{way}SplitPosition", "int", count))
        items.append(item(last, "int", count))
    active = (3 if sheet.frozen_columns else 2) if sheet.frozen_rows else (1 if sheet.frozen_columns else 2)
    items.append(item("ActiveSplitRange", "short", active))
    return "".join(items)
