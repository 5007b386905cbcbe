"""Runs beside LibreOffice, in the Python that has its bridge: one JSON command a line in, one JSON answer a line out.

Arguments: the profile's folder and the name of a pipe.
"""

import json
import subprocess
import sys
import time
from itertools import product

import uno
from com.sun.star.beans import PropertyValue
from com.sun.star.connection import NoConnectException
from com.sun.star.sheet import FormulaResult


def option(name, value):
    made = PropertyValue()
    made.Name, made.Value = name, value
    return made


class Office:
    def __init__(self, profile, pipe):
        self.process = subprocess.Popen(
            [
                "soffice",
                "--headless",
                "--norestore",
                "--nologo",
                f"-env:UserInstallation=file://{profile}",
                f"--accept=pipe,name={pipe};urp;",
            ],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        local = uno.getComponentContext()
        resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
        for _ in range(300):
            try:
                context = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
                break
            except NoConnectException:
                time.sleep(0.1)
        self.desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
        self.document = None

    def open(self, path):
        """Open a file, its links updated without a question."""
        options = (option("Hidden", True), option("UpdateDocMode", 3))
        self.document = self.desktop.loadComponentFromURL(f"file://{path}", "_blank", 0, options)
        return self.document is not None

    def recalculate(self):
        started = time.monotonic()
        self.document.calculateAll()
        return time.monotonic() - started

    def type(self, typed):
        """Type into cells as at the keyboard, as the profile's locale writes, then compute what hangs on them."""
        self.document.enableAutomaticCalculation(False)
        for sheet, cell, text in typed:
            self.document.Sheets.getByName(sheet).getCellRangeByName(cell).FormulaLocal = text
        self.document.enableAutomaticCalculation(True)
        self.document.calculate()

    def read(self):
        """Every cell in use, by sheet and address: its number or text, whether it holds an error, and its formula."""
        cells = {}
        for sheet in self.document.Sheets:
            cursor = sheet.createCursor()
            cursor.gotoEndOfUsedArea(False)
            last = cursor.RangeAddress
            area = sheet.getCellRangeByPosition(0, 0, last.EndColumn, last.EndRow)
            data, formulas = area.DataArray, area.FormulaArray
            for row, column in product(range(last.EndRow + 1), range(last.EndColumn + 1)):
                value, formula = data[row][column], formulas[row][column]
                if value != "" or formula != "":
                    name = f"{sheet.Name}.{chr(65 + column)}{row + 1}"
                    cells[name] = [value, False, formula if formula.startswith("=") else None]
            for area in sheet.queryFormulaCells(FormulaResult.ERROR):
                wrong = area.RangeAddress
                rows, columns = range(wrong.StartRow, wrong.EndRow + 1), range(wrong.StartColumn, wrong.EndColumn + 1)
                for row, column in product(rows, columns):
                    shown = sheet.getCellByPosition(column, row).String
                    cells[f"{sheet.Name}.{chr(65 + column)}{row + 1}"] = [shown, True, formulas[row][column]]
        return cells

    def frozen(self):
        """The names of sheets whose head stays in its place."""
        view = self.document.CurrentController
        found = []
        for sheet in self.document.Sheets:
            view.setActiveSheet(sheet)
            if view.hasFrozenPanes():
                found.append(sheet.Name)
        return found

    def print(self, path):
        self.document.storeToURL(f"file://{path}", (option("FilterName", "calc_pdf_Export"),))

    def close(self):
        self.document.close(True)

    def end(self):
        try:
            self.desktop.terminate()
        finally:
            self.process.wait(timeout=30)


def main():
    office = Office(*sys.argv[1:])
    for line in sys.stdin:
        name, *arguments = json.loads(line)
        try:
            answer = {"answer": getattr(office, name)(*arguments)}
        except Exception as error:  # whatever it is, the test shall say it
            answer = {"error": f"{type(error).__name__}: {error}"}
        print(json.dumps(answer), flush=True)
        if name == "end":
            break


main()
