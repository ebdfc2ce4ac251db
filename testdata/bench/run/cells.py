# Prints the cells of a workbook, a row a line, with tabs between them.
import sys
import openpyxl

for sheet in openpyxl.load_workbook(sys.argv[1], read_only=True, data_only=True):
    sheet.reset_dimensions()
    for row in sheet.iter_rows(values_only=True):
        print("\t".join("" if cell is None else str(cell) for cell in row).rstrip("\t"))
