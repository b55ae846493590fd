"""Lets LibreOffice work out the workbooks of `shop --to` anew and compares: every formula gives the result that is stored with it, to
the penny; and where quantities are changed, the sums are those that Python's `decimal` makes of the changed cells. The layout in
the middle is ordered board by board as well.

    python recalculate.py PROGRAM LAYOUT...

Needs `soffice` (Debian's package libreoffice-calc-nogui) and openpyxl.
"""

import subprocess
import sys
import tempfile
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

from openpyxl import load_workbook

PENNY = Decimal("0.01")


def formulas(book):
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    yield sheet.title, cell.coordinate


def same(stored, worked_out):
    if isinstance(stored, (int, float)) and isinstance(worked_out, (int, float)):
        return abs(stored - worked_out) < 1e-6
    return stored == worked_out


def column(sheet, row, heading):
    """The column under a heading that begins with these words."""
    return next(cell.column for cell in sheet[row] if str(cell.value or "").startswith(heading))


def heading_row(sheet):
    return next(cell.row for cell in sheet["B"] if cell.value == "Part")


def orders(book):
    return [sheet for sheet in book if sheet.title[0].isdigit()]


def change(book):
    """One more pack of each line, and five times the first. What it then costs, by supplier, postage and all that is added as before."""
    due = {}
    for sheet in orders(book):
        head = heading_row(sheet)
        packs, price, line = (column(sheet, head, words) for words in ("Packs", "A pack", "Line"))
        total = Decimal(0)
        for row in range(head + 1, sheet.max_row + 1):
            name = sheet.cell(row, 2).value
            if sheet.cell(row, 1).value:
                cell = sheet.cell(row, packs)
                cell.value = cell.value * 5 if row == head + 1 else cell.value + 1
                total += (cell.value * Decimal(str(sheet.cell(row, price).value))).quantize(PENNY, ROUND_HALF_UP)
            elif name and sheet.cell(row, line).data_type == "n" and sheet.cell(row, line).value is not None:
                total += Decimal(str(sheet.cell(row, line).value))
            if name == "To pay":
                due[sheet.title] = (total, row, line)
                break
    return due


def convert(paths, into):
    command = ["soffice", f"-env:UserInstallation=file://{into}/profile", "--headless", "--convert-to", "xlsx", "--outdir", str(into)]
    subprocess.run([*command, *map(str, paths)], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=300)


def problems(program, layouts, work):
    books = []
    # One layout's orders board by board say enough of their sums.
    for layout, flags in [*((layout, []) for layout in layouts), (layouts[len(layouts) // 2], ["--phases"])]:
        book = work / f"{Path(layout).stem}{''.join(flags)}.xlsx"
        ran = subprocess.run([program, "shop", layout, *flags, "--to", book], capture_output=True, check=False)
        if ran.returncode not in (0, 1):
            yield f"{layout}: {ran.stderr.decode()}"
            return
        books.append(book)
    due, bare = {}, []
    for book in books:
        # Written anew by openpyxl a formula has no stored result, so that it must be worked out.
        plain, changed = work / f"plain-{book.name}", work / f"changed-{book.name}"
        load_workbook(book).save(plain)
        other = load_workbook(book)
        due[book] = change(other)
        other.save(changed)
        bare += [plain, changed]
    (work / "out").mkdir()
    convert(bare, work / "out")

    for book in books:
        stored, worked_out = load_workbook(book, data_only=True), load_workbook(work / "out" / f"plain-{book.name}", data_only=True)
        found = 0
        for sheet, cell in formulas(load_workbook(book)):
            found += 1
            a, b = stored[sheet][cell].value, worked_out[sheet][cell].value
            if not same(a, b):
                yield f"{book.name}, {sheet}!{cell}: {a} is stored, {b} worked out"
        if found < 20:
            yield f"{book.name}: only {found} formulas"
        print(f"{book.name}: {found} formulas give what is stored")

        changed = load_workbook(work / "out" / f"changed-{book.name}", data_only=True)
        for sheet, (total, row, line) in due[book].items():
            got = changed[sheet].cell(row, line).value
            if abs(Decimal(str(got)) - total) >= PENNY / 2:
                yield f"{book.name}, {sheet}: {got} to pay after the change, not {total}"
        overall = changed["All orders"]
        in_all = next(row for row in overall.iter_rows() if row[0].value == "In all")
        total = sum(total for total, _, _ in due[book].values())
        got = [cell.value for cell in in_all if isinstance(cell.value, (int, float))][-1]
        if abs(Decimal(str(got)) - total) >= PENNY / 2:
            yield f"{book.name}: {got} in all after the change, not {total}"
        for row in overall.iter_rows():
            values = [cell.value for cell in row]
            if "All phases" in values:
                got = [value for value in values if isinstance(value, (int, float))][-1]
                if abs(Decimal(str(got)) - total) >= PENNY / 2:
                    yield f"{book.name}: {got} for all phases after the change, not {total}"
        print(f"{book.name}: changed, {len(due[book])} orders come to {total}, as they should")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        wrong = list(problems(sys.argv[1], sys.argv[2:], Path(folder)))
    print("\n".join(wrong) if wrong else "the workbooks stand")
    sys.exit(1 if wrong else 0)
